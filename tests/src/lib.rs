//! Made-up data that has to be good, and the workspace as cargo knows it, shared by tests.
//!
//! Nothing here is published; the data-driven tests of the whole workspace are beside it, under `tests`.

pub mod honest;
pub mod workspace;
