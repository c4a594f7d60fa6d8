//! Cautions that stand on every sheet and with every result.

use crate::lines::push_hanging;

/// One thing that a reader of any sheet or result has to know.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// The word for scripts.
    pub code: &'static str,
    /// The words.
    pub text: &'static str,
}

/// All of them, in the order in which they are printed.
pub const CAUTIONS: [Caution; 4] = [
    Caution {
        code: "no-clearance",
        text: "Detector tubes alone never clear a confined space, nor an atmosphere that is short of oxygen or can explode.",
    },
    Caution {
        code: "local-code",
        text: "The limits and procedures of the local code prevail over what is compared here.",
    },
    Caution {
        code: "competent-person",
        text: "A competent person decides; these figures do not.",
    },
    Caution {
        code: "used-tubes",
        text: "Used tubes are broken glass with reactive chemicals inside.",
    },
];

/// The cautions as one paragraph.
pub fn paragraph(width: usize) -> String {
    let text: Vec<&str> = CAUTIONS.iter().map(|caution| caution.text).collect();
    let mut out = String::new();
    push_hanging(&mut out, "Mind: ", &text.join(" "), width);
    out
}
