//! Mathematics that knows no electronics.
