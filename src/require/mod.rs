//! What this product needs in this market on this date; after `law` and `product`, before `plan`.
