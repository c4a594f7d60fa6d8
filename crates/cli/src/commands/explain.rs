//! `stainbook explain`: what a rule checks, and why; what a code of a result means, and what it does.

use std::collections::BTreeMap;

use clap::{Args, ValueEnum};
use serde_json::json;
use stainbook_catalog::search::nearest;
use stainbook_check::{Rule, find_rule, registry};
use stainbook_evaluation::outcome::{Code, Definition, Effect, InSearch, MayRead};
use stainbook_present::lines::{columns, push_hanging};
use stainbook_present::measurement_model;

use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;

/// Say what a rule checks, or what a code of a result means, and what to do; without a name, list both
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  stainbook explain range-gap\n  stainbook explain lot-expired\n  stainbook explain measurement-model\n  stainbook explain"
)]
pub(crate) struct Explain {
    /// A rule, as it stands in brackets in a finding; or the code of a flag, a statement, a refusal, or a reason of `find`;
    /// or `measurement-model`: what intervals and verdicts mean
    name: Option<String>,
    /// How to say it
    #[arg(long, value_enum, default_value_t = ExplanationFormat::Text)]
    format: ExplanationFormat,
}

/// Width of a paragraph in characters.
const WIDTH: usize = 80;

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum ExplanationFormat {
    /// For people; what a rule's document says is Markdown
    Text,
    /// For scripts
    Json,
}

impl Explain {
    pub(crate) fn speaks_json(&self) -> bool {
        self.format == ExplanationFormat::Json
    }

    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        let Some(name) = &self.name else {
            let rules: Vec<_> = registry().iter().map(as_json).collect();
            let codes: Vec<_> = definitions().map(code_as_json).collect();
            output::data(&match self.format {
                ExplanationFormat::Text => list(),
                ExplanationFormat::Json => {
                    let general = [model_as_json()];
                    let all = json!({ "rules": rules, "codes": codes, "general": general });
                    format!("{all:#}\n")
                }
            });
            return Ok(ExitStatus::Success);
        };
        // People copy the brackets, and the level in front of them.
        let name = name
            .trim_matches(|c| matches!(c, '[' | ']' | '`' | ':'))
            .rsplit('[')
            .next()
            .unwrap_or(name);
        let model = name == measurement_model::NAME;
        let rule = find_rule(name);
        let code = definitions().find(|code| code.name == name);
        if rule.is_none() && code.is_none() && !model {
            return Err(unknown(name));
        }
        output::data(&match self.format {
            ExplanationFormat::Json => {
                let mut said = serde_json::Map::new();
                let parts = [
                    rule.map(as_json),
                    code.map(code_as_json),
                    model.then(model_as_json),
                ];
                for part in parts.into_iter().flatten() {
                    said.extend(part.as_object().cloned().unwrap_or_default());
                }
                format!("{:#}\n", serde_json::Value::Object(said))
            }
            ExplanationFormat::Text => {
                let said = [
                    rule.map(rule_text),
                    code.map(code_text),
                    model.then(model_text),
                ];
                said.into_iter().flatten().collect::<Vec<_>>().join("\n")
            }
        });
        Ok(ExitStatus::Success)
    }
}

fn unknown(name: &str) -> Failure {
    let rules = registry().iter().map(|rule| rule.name);
    let codes = definitions().map(|code| code.name);
    let general = [measurement_model::NAME];
    let names = rules.chain(codes).chain(general);
    let names: Vec<String> = names.map(ToOwned::to_owned).collect();
    let near = nearest(name, &names);
    let help = if near.is_empty() {
        "`stainbook explain` lists the rules and the codes".to_owned()
    } else {
        format!("did you mean `{}`?", near.join("`, `"))
    };
    Failure::new(
        "unknown-rule",
        format!("there is no rule and no code `{name}`"),
        help,
    )
}

fn definitions() -> impl Iterator<Item = &'static Definition> {
    Code::ALL.iter().filter_map(Code::definition)
}

fn model_text() -> String {
    let mut text = format!("# {}\n\n", measurement_model::NAME);
    push_hanging(&mut text, "", measurement_model::PARAGRAPH, WIDTH);
    text
}

fn model_as_json() -> serde_json::Value {
    json!({ "name": measurement_model::NAME, "meaning": measurement_model::PARAGRAPH })
}

fn rule_text(rule: &Rule) -> String {
    if rule.docs.trim().is_empty() {
        format!(
            "# {} ({})\n\n{}\n",
            rule.name,
            rule.level.name(),
            rule.summary
        )
    } else {
        format!("{}\n", rule.docs.trim_end())
    }
}

fn code_text(code: &Definition) -> String {
    let mut text = format!("# {} ({})\n\n{}\n", code.name, kinds(code), code.meaning);
    if code.remedy != NOTHING {
        text.push_str(&format!("\nWhat to do: {}\n", code.remedy));
    }
    if let Some(effect) = code.effect {
        text.push_str(&format!(
            "\nVerdicts: {}.\n\n`find`: {}.\n",
            on_a_verdict(effect),
            in_a_search(effect.in_search)
        ));
    }
    text
}

/// The registry's text where nothing is to be done.
const NOTHING: &str = "Nothing.";

/// `flag or refusal`.
fn kinds(code: &Definition) -> String {
    let kinds: Vec<&str> = code.kinds.iter().map(|kind| kind.name()).collect();
    kinds.join(" or ")
}

fn on_a_verdict(effect: Effect) -> String {
    let said = |verdict: &str| {
        let words = effect.in_verdict.unwrap_or_default();
        format!("`{verdict} ({words})`")
    };
    let act = "cannot tell; reads above: act as if above";
    match effect.may_read {
        MayRead::AsGiven if effect.in_verdict.is_some() => {
            format!("stand, and say so: {}", said("below"))
        }
        MayRead::AsGiven => "stand as they are".to_owned(),
        MayRead::TooLow => format!(
            "the tube may have read too low, so that nothing is called below a limit: {}",
            said("cannot tell")
        ),
        MayRead::TooHigh => format!(
            "the tube may have read too high, so that nothing is called above a limit: {}",
            said(act)
        ),
        MayRead::EitherWay => format!(
            "the tube may have read too low or too high, so that there is none: {}, and of what reads above a limit {}",
            said("cannot tell"),
            said(act)
        ),
    }
}

fn in_a_search(in_search: InSearch) -> String {
    match in_search {
        InSearch::Excludes(remedy) => {
            format!("a sheet that this is said of cannot serve; needed is {remedy}")
        }
        InSearch::Heavy => {
            "a tube that this is said of stands behind those that it is not said of".to_owned()
        }
        InSearch::Light => "it is told among what speaks against a tube".to_owned(),
        InSearch::OfTheRecord => {
            "passed over, as it is about the record of a reading that does not exist yet".to_owned()
        }
    }
}

fn code_as_json(code: &Definition) -> serde_json::Value {
    let kinds: Vec<&str> = code.kinds.iter().map(|kind| kind.name()).collect();
    let may_read = code.effect.map(|effect| match effect.may_read {
        MayRead::AsGiven => "as_given",
        MayRead::TooLow => "too_low",
        MayRead::TooHigh => "too_high",
        MayRead::EitherWay => "either_way",
    });
    let in_search = code.effect.map(|effect| match effect.in_search {
        InSearch::Excludes(_) => "excludes",
        InSearch::Heavy => "heavy",
        InSearch::Light => "light",
        InSearch::OfTheRecord => "of_the_record",
    });
    json!({
        "code": code.name,
        "kinds": kinds,
        "meaning": code.meaning,
        "what_to_do": code.remedy,
        "may_read": may_read,
        "in_verdict": code.effect.and_then(|effect| effect.in_verdict),
        "in_search": in_search,
    })
}

fn as_json(rule: &Rule) -> serde_json::Value {
    json!({
        "rule": rule.name,
        "level": rule.level.name(),
        "since": rule.since,
        "family": rule.family.name(),
        "summary": rule.summary,
        "docs": rule.docs,
    })
}

/// The codes by what they are said as first, then by name.
fn sorted_definitions() -> Vec<&'static Definition> {
    let mut all: Vec<_> = definitions().collect();
    all.sort_by_key(|code| (code.kinds.first().copied(), code.name));
    all
}

/// Every rule under the part of a catalog that it is about, and every code.
fn list() -> String {
    let mut families: BTreeMap<_, Vec<Vec<String>>> = BTreeMap::new();
    for rule in registry() {
        let row = vec![
            rule.name.to_owned(),
            rule.level.name().to_owned(),
            rule.summary.to_owned(),
        ];
        families.entry(rule.family).or_default().push(row);
    }
    let mut out = String::new();
    for (family, rows) in families {
        out.push_str(&format!("{}\n", family.name()));
        for line in columns(&rows) {
            out.push_str(&format!("  {line}\n"));
        }
        out.push('\n');
    }
    out.push_str("Codes of results\n");
    let rows: Vec<Vec<String>> = sorted_definitions()
        .iter()
        .map(|code| vec![code.name.to_owned(), kinds(code), code.meaning.to_owned()])
        .collect();
    for line in columns(&rows) {
        out.push_str(&format!("  {line}\n"));
    }
    out.push_str(&format!(
        "\nResults in general\n  {}  intervals, and when a result is called below or above a limit\n",
        measurement_model::NAME
    ));
    out.push_str("\n`stainbook explain NAME` says more about one of them.\n");
    out
}
