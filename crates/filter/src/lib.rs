//! From a need to approximations, stages and circuits.
