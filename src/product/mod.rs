//! Workshop, material, vessel and product files to checked types; after `yaml`, before `recipe` and `require`.
