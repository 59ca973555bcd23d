//! The append-only record; the only room that names SQLite. After `lot`.
