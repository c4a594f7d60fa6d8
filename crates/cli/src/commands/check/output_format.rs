//! The formats in which findings are said.

use std::borrow::Cow;

use clap::ValueEnum;
use rayon::prelude::*;
use stainbook_check::Deny;
use stainbook_document::finding::Finding;
use stainbook_present::{
    Sources, findings_github, findings_json, findings_junit, findings_sarif, findings_short,
    findings_text, most_shown,
};

use super::baseline::Baselined;
use super::{CheckedCatalog, CheckedCatalogs};
use crate::catalog_files::shown;
use crate::failure::Failure;
use crate::output;

/// Formats of findings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum FindingsFormat {
    /// With the line and a caret under it
    Text,
    /// One line each
    Short,
    /// For scripts
    Json,
    /// For code hosts and editors: SARIF 2.1.0
    Sarif,
    /// For GitHub Actions: annotations beside the lines
    Github,
    /// For build servers: JUnit XML
    Junit,
}

/// Findings that are put into words by one thread at a time.
const TOGETHER: usize = 64;
/// Findings whose words are kept until they are written.
const AT_ONCE: usize = 32 * TOGETHER;

/// Says everything that was found.
pub(super) fn write(
    format: FindingsFormat,
    found: &CheckedCatalogs,
    deny: Deny,
) -> Result<(), Failure> {
    let shown = shown_findings(found);
    let groups = groups(found, &shown);
    let catalogs = found.catalogs();
    let failures: Vec<(&str, &str)> = found
        .failures
        .iter()
        .map(|failure| (failure.code, failure.message.as_str()))
        .collect();
    match format {
        FindingsFormat::Text => {
            let colour = output::colour();
            one_by_one(&groups, |findings, sources| {
                findings_text::each(findings, sources, colour)
            });
            let counts = found.counts();
            output::data(&findings_text::summary(counts, found.files, colour));
        }
        FindingsFormat::Short => one_by_one(&groups, findings_short::render),
        FindingsFormat::Json => output::data(
            &findings_json::render_groups(&groups, found.counts(), found.files, &catalogs)
                .map_err(Failure::ours)?,
        ),
        FindingsFormat::Sarif => {
            let folder = working_folder();
            let run = findings_sarif::SarifRun {
                folder: &folder,
                catalog: &catalogs,
                files: found.files,
                failures: &failures,
            };
            output::data(&findings_sarif::render(&groups, &run).map_err(Failure::ours)?);
        }
        FindingsFormat::Github => {
            for (code, message) in failures {
                output::data(&findings_github::failure(code, message));
            }
            one_by_one(&groups, findings_github::render);
        }
        FindingsFormat::Junit => {
            let files = checked_files(found);
            let looked = findings_junit::Looked {
                files: &files,
                failures: &failures,
                deny,
            };
            output::data(&findings_junit::render(&groups, &looked));
        }
    }
    Ok(())
}

/// Writes findings that are said one after the other, each by itself: several are put into words at a time, and no more
/// words are kept than the threads have work with.
fn one_by_one(
    groups: &[(&[Finding], Sources<'_>)],
    words: impl Fn(&[Finding], &Sources<'_>) -> String + Sync,
) {
    for (findings, sources) in groups {
        for some in findings.chunks(AT_ONCE) {
            let said: Vec<String> = some
                .par_chunks(TOGETHER)
                .map(|few| words(few, sources))
                .collect();
            if !said.iter().all(|said| output::piece(said)) {
                return;
            }
        }
    }
}

/// The findings of each catalog and of the baseline, with the most that are shown of one rule.
fn shown_findings(found: &CheckedCatalogs) -> Vec<Cow<'_, [Finding]>> {
    let groups = found.groups.iter().map(|group| group.findings.as_slice());
    let baseline = found
        .baselined
        .iter()
        .map(|baselined| baselined.unused.as_slice());
    groups.chain(baseline).map(most_shown).collect()
}

fn groups<'a>(
    found: &'a CheckedCatalogs,
    shown: &'a [Cow<'_, [Finding]>],
) -> Vec<(&'a [Finding], Sources<'a>)> {
    let groups = found.groups.iter().map(CheckedCatalog::sources);
    let baseline = found.baselined.iter().map(Baselined::sources);
    let sources = groups.chain(baseline);
    shown.iter().map(AsRef::as_ref).zip(sources).collect()
}

/// The files that were asked for and could be read.
fn checked_files(found: &CheckedCatalogs) -> Vec<&str> {
    let files = found.groups.iter().flat_map(|group| {
        let asked = group.asked.intersection(&group.loaded.read);
        asked.filter_map(|file| {
            let index = usize::try_from(file.0).ok()?;
            group.loaded.paths.get(index).map(String::as_str)
        })
    });
    files.collect()
}

/// The folder that relative paths are seen from; empty if it is gone.
fn working_folder() -> String {
    std::env::current_dir().map_or_else(|_| String::new(), |folder| shown(&folder))
}
