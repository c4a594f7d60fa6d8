//! `stainbook explain`: what a rule checks, and why.

use std::collections::BTreeMap;

use clap::{Args, ValueEnum};
use serde_json::json;
use stainbook::catalog::search::nearest;
use stainbook::check::{Rule, find_rule, registry};
use stainbook::present::lines::columns;

use crate::end::End;
use crate::failure::Failure;
use crate::output;

/// Say what a rule checks, why it matters and what to do; without a name, list the rules
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  stainbook explain range-gap\n  stainbook explain")]
pub(crate) struct Explain {
    /// The rule's name, as it stands in brackets in a finding
    rule: Option<String>,
    /// How to say it
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For people; what a rule's document says is Markdown
    Text,
    /// For scripts
    Json,
}

impl Explain {
    pub(crate) fn speaks_json(&self) -> bool {
        self.format == Format::Json
    }

    pub(crate) fn run(&self) -> Result<End, Failure> {
        let Some(name) = &self.rule else {
            let rules: Vec<_> = registry().iter().map(as_json).collect();
            output::data(&match self.format {
                Format::Text => list(),
                Format::Json => format!("{:#}\n", json!({ "rules": rules })),
            });
            return Ok(End::Well);
        };
        // People copy the brackets, and the level in front of them.
        let name = name
            .trim_matches(|c| matches!(c, '[' | ']' | '`' | ':'))
            .rsplit('[')
            .next()
            .unwrap_or(name);
        let Some(rule) = find_rule(name) else {
            let names: Vec<String> = registry().iter().map(|rule| rule.name.to_owned()).collect();
            let near = nearest(name, &names);
            let help = if near.is_empty() {
                "`stainbook explain` lists the rules".to_owned()
            } else {
                format!("did you mean `{}`?", near.join("`, `"))
            };
            return Err(Failure::new(
                "unknown-rule",
                format!("there is no rule `{name}`"),
                help,
            ));
        };
        if self.format == Format::Json {
            output::data(&format!("{:#}\n", as_json(rule)));
        } else if rule.docs.trim().is_empty() {
            output::data(&format!(
                "# {} ({})\n\n{}\n",
                rule.name,
                rule.level.name(),
                rule.summary
            ));
        } else {
            output::data(&format!("{}\n", rule.docs.trim_end()));
        }
        Ok(End::Well)
    }
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

/// Every rule under the part of a catalog that it is about.
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
    out.push_str("`stainbook explain RULE` says more about one of them.\n");
    out
}
