//! A conversion for scripts. Every key is always there; what does not apply is null.

use serde::Serialize;
use serde_json::Value;

use crate::conversion::{Amount, Conversion};
use crate::pretty_json;

#[derive(Serialize)]
struct ConversionReport<'a> {
    result: FigureItem<'a>,
    from: FigureItem<'a>,
    conditions: Option<ConditionsItem<'a>>,
    molar_mass: Option<FigureItem<'a>>,
    molar_volume: Option<FigureItem<'a>>,
    substance: Option<SubstanceItem<'a>>,
    basis: Option<&'a str>,
    water: Option<FigureItem<'a>>,
    assumptions: Vec<AssumptionItem<'a>>,
    catalog: &'a str,
}

#[derive(Serialize)]
struct ConditionsItem<'a> {
    temperature: FigureItem<'a>,
    pressure: FigureItem<'a>,
}

#[derive(Serialize)]
struct SubstanceItem<'a> {
    id: &'a str,
    name: &'a str,
    cas: Option<&'a str>,
    formula: &'a str,
}

#[derive(Serialize)]
struct AssumptionItem<'a> {
    code: &'a str,
    text: &'a str,
}

#[derive(Serialize)]
struct FigureItem<'a> {
    value: f64,
    unit: &'a str,
    text: &'a str,
}

/// The conversion as one JSON object.
///
/// # Errors
///
/// If a figure cannot be written as JSON; there is none known.
pub fn render(conversion: &Conversion) -> serde_json::Result<String> {
    let report = ConversionReport {
        result: item(&conversion.result),
        from: item(&conversion.from),
        conditions: conversion
            .conditions
            .as_ref()
            .map(|conditions| ConditionsItem {
                temperature: item(&conditions.temperature),
                pressure: item(&conditions.pressure),
            }),
        molar_mass: conversion.molar_mass.as_ref().map(item),
        molar_volume: conversion.molar_volume.as_ref().map(item),
        substance: conversion
            .substance
            .as_ref()
            .map(|substance| SubstanceItem {
                id: &substance.id,
                name: &substance.name,
                cas: substance.cas.as_deref(),
                formula: &substance.formula,
            }),
        basis: conversion.basis,
        water: conversion.water.as_ref().map(item),
        assumptions: conversion
            .assumptions
            .iter()
            .map(|assumption| AssumptionItem {
                code: assumption.code,
                text: &assumption.text,
            })
            .collect(),
        catalog: &conversion.catalog,
    };
    pretty_json::written(&report)
}

/// An error as every command prints it for scripts: `{"error": {"code", "message", "help"}}`.
pub fn error(code: &str, message: &str, help: &str) -> String {
    let mut text = Value::from_iter([(
        "error",
        Value::from_iter([("code", code), ("message", message), ("help", help)]),
    )])
    .to_string();
    text.push('\n');
    pretty_json::escaped(text)
}

fn item(amount: &Amount) -> FigureItem<'_> {
    FigureItem {
        value: amount.value,
        unit: amount.unit,
        text: &amount.text,
    }
}
