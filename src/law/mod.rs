//! The rules as data: rows, sources, wording, tables; before `require`.
