//! Plain-text files a user keeps, read so that every complaint points at its line.
