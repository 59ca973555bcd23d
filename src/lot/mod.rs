//! Lot code, planned grams, content of the batch sheet; after `recipe`, before `ledger`.
