//! Made-up data that has to be good, shared by the tests of several crates.
//!
//! Nothing here is published; the data-driven tests of the whole workspace are beside it, under `tests`.

pub mod honest;
