//! Rules, their documents, and what is done with their findings: a baseline, a mended text, two sheets compared.

pub use stainbook_check::baseline::{
    Baseline, BaselinedFinding, Key, NotABaseline, write as write_baseline,
};
pub use stainbook_check::compare::{
    Difference, DifferenceKind, DifferenceSide, LikelySlip, Pairs, Scope, compare, pair, unfit,
};
pub use stainbook_check::{
    Deny, Family, Fixed, NotUtf8, Options, Report, Rule, TidyRefusal, TidyStep, check, check_with,
    explain, find_rule, fix, registry, tidy,
};
