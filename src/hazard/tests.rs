//! Tests of the engine against the limits of the regulation.
