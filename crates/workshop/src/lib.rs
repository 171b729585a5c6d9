//! What a user can do, one file each: request in, outcome with findings out.
