//! What the tests of several crates share: made-up data that has to be good.
//!
//! Nothing here is published; the data-driven tests of the whole workspace are beside it, under `tests`.

pub mod honest;
