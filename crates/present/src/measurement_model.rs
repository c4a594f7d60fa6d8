//! The measurement model for whoever reads a result, in a paragraph.

use crate::lines::push_hanging;

/// Its name for `explain`.
pub const NAME: &str = "measurement-model";

/// The paragraph.
pub const PARAGRAPH: &str = "A leaflet's \"within 25 %\" speaks of what is there, not of what was read: the same air shows a longer stain on one tube and a shorter one on the next. So an interval holds every concentration that would show this stain in the middle 95 % of what it shows, and reaches further up than down. \"Below\" a limit is said only if the limit itself would show so short a stain, read at the upper end of what the reading stands for, in less than 5 of 100 cases; \"above\" only if it would show so long a one, at the lower end; where a survey states other parts under `judge`, those count. Everything between is \"cannot tell\". The reader meant is one who divides the space between two marks evenly by eye; `reads_to` says how finely.";

/// The paragraph behind its head.
pub fn paragraph(width: usize) -> String {
    let mut out = String::new();
    push_hanging(&mut out, "Means: ", PARAGRAPH, width);
    out
}
