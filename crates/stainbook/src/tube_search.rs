//! Tubes for a gas at a level, ranked, and why the others cannot serve.

pub use stainbook_tube_search::{
    Assumed, AtLevel, Condition, Coverage, Excluded, JudgedHere, LevelSought, LimitSought,
    PresentGas, PumpAsked, Reason, Search, Sought, SuitableTube, Wanted, Way, Weight, find,
};
