//! Maker's YAML text to nodes with places; before `product`.
