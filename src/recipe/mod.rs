//! Loads and grams for N candles; after `product`.
