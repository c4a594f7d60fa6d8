//! Reading a limit as the NIOSH Pocket Guide prints it: `TWA 25 ppm ST 35 ppm [skin] See Appendix G`.

use std::collections::VecDeque;

use stainbook_catalog::written::LimitKind;

/// One limit as printed.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PrintedLimit {
    pub(crate) kind: LimitKind,
    /// The number as printed, without thousands commas.
    pub(crate) number: String,
    /// `ppm` or `mg/m³`.
    pub(crate) unit: &'static str,
    /// The period it is averaged over, if one is printed.
    pub(crate) averaged_over: Option<String>,
    /// The peak above a ceiling: value, and for how long and how often.
    pub(crate) peak: Option<(String, String)>,
    /// Remarks printed beside it, in sentences without full stops.
    pub(crate) remarks: Vec<String>,
}

/// All that a cell says.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct PrintedCell {
    pub(crate) limits: Vec<PrintedLimit>,
    /// Taken up through the skin.
    pub(crate) skin: bool,
    /// `Ca`: treated as a potential occupational carcinogen.
    pub(crate) carcinogen: bool,
    /// The section of 29 CFR 1910 that is printed first, if one is.
    pub(crate) section: Option<String>,
    /// `N.D.`: not determined.
    pub(crate) not_determined: bool,
    /// The references to appendices, which are not carried on.
    pub(crate) appendices: Vec<String>,
}

/// Reads a cell. In the column of dangerous levels a bare number is one.
///
/// The error is the first piece that is not understood: then nothing of the cell is taken over.
pub(crate) fn read(text: &str, column: LimitColumn) -> Result<PrintedCell, String> {
    let mut printed = PrintedCell::default();
    let mut kind = (column == LimitColumn::Danger).then_some(LimitKind::Danger);
    let mut pieces = pieces(text);
    while let Some(piece) = pieces.pop_front() {
        if let Some(number) = number(&piece) {
            let word = pieces.pop_front().unwrap_or_default();
            let unit = unit(&word).ok_or_else(|| format!("{piece} {word}"))?;
            let aside = pieces
                .front()
                .map(|next| next.to_lowercase())
                .unwrap_or_default();
            let printed_as = if piece.starts_with('<') {
                vec![format!("printed as {piece} {unit}")]
            } else {
                Vec::new()
            };
            if let Some(kind) = kind.take() {
                printed.limits.push(PrintedLimit {
                    kind,
                    number,
                    unit,
                    averaged_over: None,
                    peak: None,
                    remarks: printed_as,
                });
            } else if aside.contains("maximum peak") {
                pieces.pop_front();
                let aside = aside.trim_matches(['[', ']', '(', ')']).to_owned();
                let ceiling = printed.limits.last_mut().ok_or(piece)?;
                ceiling.peak = Some((format!("{number} {unit}"), lasting(&aside)));
            } else if aside == "[15-minute excursion]" {
                pieces.pop_front();
                let remarks = vec!["printed as an excursion limit".to_owned()];
                printed.limits.push(PrintedLimit {
                    kind: LimitKind::ShortTerm,
                    number,
                    unit,
                    averaged_over: None,
                    peak: None,
                    remarks,
                });
            } else {
                return Err(format!("{piece} {word}"));
            }
            continue;
        }
        let inside = piece.trim_matches(['[', ']', '(', ')']);
        match piece.as_str() {
            "TWA" => kind = Some(LimitKind::EightHours),
            "ST" => kind = Some(LimitKind::ShortTerm),
            "C" => kind = Some(LimitKind::Ceiling),
            "Ca" => printed.carcinogen = true,
            "none" => {}
            "N.D." | "[N.D.]" => printed.not_determined = true,
            "[skin]" => printed.skin = true,
            "See" => {
                let mut reference = vec!["See".to_owned()];
                reference.extend(pieces.pop_front());
                reference.extend(pieces.pop_front());
                // `See Appendix C (Aldehydes)`
                if pieces.front().is_some_and(|next| next.starts_with('(')) {
                    reference.extend(pieces.pop_front());
                }
                printed.appendices.push(reference.join(" "));
            }
            _ if inside.starts_with("1910.") => printed.section = Some(inside.to_owned()),
            // `Ca [100 ppm]`: the value stands in brackets because NIOSH would rather see none.
            _ if column == LimitColumn::Danger
                && inside.ends_with(" ppm")
                && piece.starts_with('[') =>
            {
                for word in inside.split(' ').rev() {
                    pieces.push_front(word.to_owned());
                }
            }
            _ => {
                let limit = printed.limits.last_mut().ok_or_else(|| piece.clone())?;
                beside(limit, inside).ok_or(piece)?;
            }
        }
    }
    match kind {
        Some(kind) if column != LimitColumn::Danger => {
            Err(format!("{} without a value", kind.name()))
        }
        _ => Ok(printed),
    }
}

/// `5-minute maximum peak in any 3 hours` without the words for the peak.
fn lasting(aside: &str) -> String {
    aside.replace("-minute maximum peak", " min")
}

/// Column of a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum LimitColumn {
    /// Limits, each with `TWA`, `ST` or `C` before it.
    Limits,
    /// Levels immediately dangerous to life or health, bare.
    Danger,
}

/// Text in brackets after a value.
fn beside(limit: &mut PrintedLimit, text: &str) -> Option<()> {
    match text {
        "10%LEL" => limit
            .remarks
            .push("set at 10 % of the lower explosive limit".to_owned()),
        "as Hg" => limit.remarks.push("as Hg".to_owned()),
        "10-min/day" => {
            limit.averaged_over = Some("10 min".to_owned());
            limit
                .remarks
                .push("for at most 10 minutes a day".to_owned());
        }
        _ => {
            let (count, unit) = text.split_once('-')?;
            let unit = match unit {
                "minute" => "min",
                "hour" | "hr" => "h",
                _ => return None,
            };
            count.parse::<u32>().ok()?;
            limit.averaged_over = Some(format!("{count} {unit}"));
        }
    }
    Some(())
}

fn number(piece: &str) -> Option<String> {
    let digits = piece.trim_start_matches('<').replace(',', "");
    let plain = digits.chars().all(|c| c.is_ascii_digit() || c == '.');
    (plain && digits.parse::<f64>().is_ok()).then_some(digits)
}

fn unit(piece: &str) -> Option<&'static str> {
    match piece {
        "ppm" => Some("ppm"),
        "mg/m3" => Some("mg/m³"),
        _ => None,
    }
}

/// Words; what stands in brackets is one.
fn pieces(text: &str) -> VecDeque<String> {
    let mut pieces = VecDeque::new();
    let mut piece = String::new();
    let mut depth = 0_usize;
    for c in text.chars() {
        match c {
            '[' | '(' => depth += 1,
            ']' | ')' => depth = depth.saturating_sub(1),
            _ => {}
        }
        if c.is_whitespace() && depth == 0 {
            if !piece.is_empty() {
                pieces.push_back(std::mem::take(&mut piece));
            }
        } else {
            piece.push(c);
        }
    }
    if !piece.is_empty() {
        pieces.push_back(piece);
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    fn short(text: &str, column: LimitColumn) -> String {
        match read(text, column) {
            Err(piece) => format!("? {piece}"),
            Ok(printed) => {
                let mut out: Vec<String> = printed
                    .limits
                    .iter()
                    .map(|limit| {
                        let over = limit.averaged_over.as_deref().unwrap_or("");
                        let parts = [
                            limit.kind.name(),
                            &limit.number,
                            limit.unit,
                            over,
                            &limit.remarks.join(", "),
                        ];
                        let peak = limit
                            .peak
                            .iter()
                            .map(|(value, lasts)| format!(", peak {value} {lasts}"));
                        parts
                            .into_iter()
                            .filter(|part| !part.is_empty())
                            .collect::<Vec<_>>()
                            .join(" ")
                            + &peak.collect::<String>()
                    })
                    .collect();
                out.extend(printed.skin.then(|| "skin".to_owned()));
                out.extend(printed.carcinogen.then(|| "Ca".to_owned()));
                out.extend(printed.section);
                out.extend(printed.not_determined.then(|| "N.D.".to_owned()));
                out.join("; ")
            }
        }
    }

    #[test]
    fn limits_are_read_as_printed() {
        for (text, expected) in [
            (
                "TWA 10 ppm ST 15 ppm",
                "8-hour average 10 ppm; short-term 15 ppm",
            ),
            (
                "TWA 5000 ppm ST 30,000 ppm",
                "8-hour average 5000 ppm; short-term 30000 ppm",
            ),
            ("none See Appendix G", ""),
            ("C 5 ppm [skin]", "ceiling 5 ppm; skin"),
            (
                "Ca C 0.06 ppm [2-hr] See Appendix A",
                "ceiling 0.06 ppm 2 h; Ca",
            ),
            (
                "Ca TWA <0.1 ppm C 5 ppm [10-min/day] See Appendix A",
                "8-hour average 0.1 ppm printed as <0.1 ppm; ceiling 5 ppm 10 min for at most 10 minutes a day; Ca",
            ),
            (
                "[1910.1047] TWA 1 ppm 5 ppm [15-minute Excursion]",
                "8-hour average 1 ppm; short-term 5 ppm printed as an excursion limit; 1910.1047",
            ),
            (
                "C 20 ppm 50 ppm [10-minute maximum peak] See Appendix G",
                "ceiling 20 ppm, peak 50 ppm 10 min",
            ),
            (
                "C 350 ppm [15-minute] See Appendix C (Chloroethanes)",
                "ceiling 350 ppm 15 min",
            ),
            (
                "TWA 25 ppm (TWA over the time exposed)",
                "? (TWA over the time exposed)",
            ),
            ("Ca Minimize workplace exposure", "? Minimize"),
            ("TWA 100 ppmC 200 ppm", "? 100 ppmC"),
            ("TWA", "? 8-hour average without a value"),
            ("5 ppm", "? 5 ppm"),
        ] {
            assert_eq!(short(text, LimitColumn::Limits), expected, "{text}");
        }
    }

    #[test]
    fn dangerous_levels_are_read_as_printed() {
        for (text, expected) in [
            ("50 ppm", "danger to life or health 50 ppm"),
            ("40,000 ppm", "danger to life or health 40000 ppm"),
            (
                "1400 ppm [10%LEL]",
                "danger to life or health 1400 ppm set at 10 % of the lower explosive limit",
            ),
            ("Ca [100 ppm]", "danger to life or health 100 ppm; Ca"),
            (
                "Ca [2000 ppm] [10%LEL]",
                "danger to life or health 2000 ppm set at 10 % of the lower explosive limit; Ca",
            ),
            (
                "10 mg/m3 (as Hg)",
                "danger to life or health 10 mg/m³ as Hg",
            ),
            ("N.D.", "N.D."),
            ("Ca [N.D.]", "Ca; N.D."),
        ] {
            assert_eq!(short(text, LimitColumn::Danger), expected, "{text}");
        }
    }
}
