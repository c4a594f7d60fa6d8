//! The formats in which findings are said.

use clap::ValueEnum;
use stainbook::Finding;
use stainbook::check::Deny;
use stainbook::present::{
    Sources, findings_github, findings_json, findings_junit, findings_sarif, findings_short,
    findings_text,
};

use super::Found;
use crate::catalog_files::shown;
use crate::failure::Failure;
use crate::output;

/// How to say what is found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
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

/// Everything that was found, in one text.
pub(super) fn render(format: Format, found: &Found, deny: Deny) -> Result<String, Failure> {
    let groups = groups(found);
    let catalogs = found.catalogs();
    let failures: Vec<(&str, &str)> = found
        .failures
        .iter()
        .map(|failure| (failure.code, failure.message.as_str()))
        .collect();
    let mut out = String::new();
    match format {
        Format::Text => {
            let colour = output::colour();
            for (findings, sources) in &groups {
                out.push_str(&findings_text::each(findings, sources, colour));
            }
            out.push_str(&findings_text::summary(found.counts(), found.files, colour));
        }
        Format::Short => {
            for (findings, sources) in &groups {
                out.push_str(&findings_short::render(findings, sources));
            }
        }
        Format::Json => {
            out = findings_json::render_groups(&groups, found.files, &catalogs)
                .map_err(Failure::ours)?;
        }
        Format::Sarif => {
            let folder = working_folder();
            let run = findings_sarif::Run {
                folder: &folder,
                catalog: &catalogs,
                files: found.files,
                failures: &failures,
            };
            out = findings_sarif::render(&groups, &run).map_err(Failure::ours)?;
        }
        Format::Github => {
            for (code, message) in failures {
                out.push_str(&findings_github::failure(code, message));
            }
            for (findings, sources) in &groups {
                out.push_str(&findings_github::render(findings, sources));
            }
        }
        Format::Junit => {
            let files = checked_files(found);
            let looked = findings_junit::Looked {
                files: &files,
                failures: &failures,
                deny,
            };
            out = findings_junit::render(&groups, &looked);
        }
    }
    Ok(out)
}

fn groups(found: &Found) -> Vec<(&[Finding], Sources<'_>)> {
    let groups = found
        .groups
        .iter()
        .map(|group| (group.findings.as_slice(), group.sources()));
    let baseline = found
        .baselined
        .iter()
        .map(|baselined| (baselined.unused.as_slice(), baselined.sources()));
    groups.chain(baseline).collect()
}

/// The files that were asked for and could be read.
fn checked_files(found: &Found) -> Vec<&str> {
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
