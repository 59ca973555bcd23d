//! The burn time that may be claimed from burn tests; after `product`.
