//! The command line: one file a command; files, clock and printing live here.
