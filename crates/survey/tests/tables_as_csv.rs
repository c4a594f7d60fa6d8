//! Surveys kept as tables.
#![cfg(test)]

#[path = "../../evaluation/tests/support/mod.rs"]
mod support;

use stainbook_catalog::EntryKind;
use stainbook_catalog::schema::{Draft, schema};
use stainbook_evaluation::Options;
use stainbook_survey::table::{COLUMNS, DecimalMark, evaluate_csv, read};
use support::{at_20, book, close, refusal, value};

const HEADER: &str = "id,at,tube,lot,expires,pump,leak_test,strokes,reading [ppm],seen,air_temperature [°C],humidity [%RH],pressure [hPa],other_gases";
const ROW: &str =
    "r1,2026-03-02T07:40+00:00,slip-chlorine,24-117,2027-01,pump-1,held,2,5,,20,50,1013,none known";

#[test]
fn a_table_and_a_survey_give_the_same() {
    let book = book();
    let table = format!("{HEADER}\n{ROW}\n");
    let from_table = evaluate_csv(&book, &table, DecimalMark::Point, &Options::default())
        .unwrap()
        .results
        .remove(0);
    let from_survey = at_20(&book, "strokes: 2, reading: {at: 5 ppm}");
    assert!(close(value(&from_table), value(&from_survey)));
    assert_eq!(
        (from_table.flags, from_table.against),
        (from_survey.flags, from_survey.against)
    );
}

#[test]
fn one_bad_row_is_refused_with_its_place() {
    let book = book();
    let table = format!(
        "{HEADER}\n{ROW}\n{}\n\n{}\n{}\n{}\n",
        ROW.replace("r1", "r2").replace(",2,5,", ",two,5,"),
        ROW.replace("r1", "r3").replace(",2,5,", ",2,\"5,5\","),
        ROW.replace("r1", "r4").replace(",5,,", ",,no stains,"),
        ROW.replace("r1", "r5"),
    );
    let from_windows = evaluate_csv(
        &book,
        &table.replace('\n', "\r\n"),
        DecimalMark::Point,
        &Options::default(),
    )
    .unwrap();
    let results = evaluate_csv(&book, &table, DecimalMark::Point, &Options::default())
        .unwrap()
        .results;
    assert_eq!(from_windows.results, results);
    let states: Vec<(&str, &str)> = results
        .iter()
        .map(|result| (result.id.as_str(), refusal(result)))
        .collect();
    assert_eq!(
        states,
        [
            ("r1", "none"),
            ("r2", "row-unreadable"),
            ("r3", "row-unreadable"),
            ("r4", "row-unreadable"),
            ("r5", "none")
        ]
    );
    let said = |index: usize| results[index].refusal.clone().unwrap();
    assert!(
        said(1).text.contains("line 3, column 8 (`strokes`)"),
        "{:?}",
        said(1)
    );
    assert!(
        said(2).text.contains("line 5, column 9 (`reading`)"),
        "{:?}",
        said(2)
    );
    assert!(said(3).remedy.contains("`no stain`"), "{:?}", said(3));
}

#[test]
fn cells_and_headers() {
    for (header, row, expected) in [
        // A cell's own unit goes before the header's; the kelvin of a spreadsheet and a spelled unit are understood.
        (
            "reading [ppm],air_temperature [K]",
            "0.0005 %,293.15",
            Some(5.0),
        ),
        ("Reading [ppb],Air temperature", "5000,20 °C", Some(5.0)),
        (
            "reading [ppm],air_temperature [°C]",
            "\"5.0\",68 F",
            Some(5.0),
        ),
        (
            "short [ppm],long [ppm],air_temperature [°C]",
            "4,6,20",
            Some(5.0),
        ),
        ("reading,air_temperature [°C]", "5,20", None),
        ("reading [ppm],air_temperature [°C]", "five,20", None),
        ("reading [ppm],air_temperature [°C]", "5,20,7", None),
    ] {
        let table = format!(
            "id,tube,lot,strokes,humidity [%RH],pressure [hPa],{header}\nr1,slip-chlorine,24-117,2,50,1013,{row}\n"
        );
        let result = evaluate_csv(&book(), &table, DecimalMark::Point, &Options::default())
            .unwrap()
            .results
            .remove(0);
        let found = result.concentration.as_ref().map(|amount| amount.value);
        match expected {
            Some(expected) => assert!(
                found.is_some_and(|found| close(found, expected)),
                "{header}: {:?}",
                result.refusal
            ),
            None => assert_eq!(refusal(&result), "row-unreadable", "{header}"),
        }
    }
}

#[test]
fn headers_that_cannot_be_told() {
    for (header, column, help) in [
        ("id,tube,stroke,reading [ppm]", 3, "did you mean `strokes`?"),
        ("id,tube,strokes,reading [ppn]", 4, "reading [ppm]"),
        ("id,tube,strokes,reading [°C]", 4, "reading [ppm]"),
        ("id,tube,strokes,reading [ppm", 4, "brackets"),
        ("id [ppm],tube,strokes,reading [ppm]", 1, "write `id`"),
        ("id,tube,id,strokes,reading [ppm]", 3, "keep one"),
        ("id,tube,reading [ppm]", 3, "add it"),
        ("id,tube,strokes", 3, "reading [ppm]"),
        ("", 1, "first line"),
    ] {
        let problem = read(header, DecimalMark::Point).unwrap_err();
        assert_eq!(problem.column, column, "{header}: {problem}");
        assert!(problem.help.contains(help), "{header}: {problem}");
    }
}

#[test]
fn decimal_commas_when_told() {
    let table = "id;tube;lot;strokes;humidity [%RH];pressure [hPa];reading [ppm];air_temperature [°C];present;present_level [ppm]\n\
                 r1;slip-chlorine;24-117;0,5;50;1013;5,5;20,0;chlorine-dioxide;1,5\n";
    let results = evaluate_csv(&book(), table, DecimalMark::Comma, &Options::default())
        .unwrap()
        .results;
    assert!(
        close(value(&results[0]), 5.5 * 2.5 - 0.75),
        "{:?}",
        results[0]
    );
    let results = evaluate_csv(&book(), table, DecimalMark::Point, &Options::default())
        .unwrap()
        .results;
    let said = results[0].refusal.clone().unwrap();
    assert!(
        said.text.contains("column 7 (`reading`)")
            && said.text.contains("column 8 (`air_temperature`)"),
        "{said:?}"
    );
}

#[test]
fn several_gases_and_spreadsheet_leftovers() {
    let table = "\u{feff}id\ttube\tlot\tstrokes\thumidity [%RH]\tpressure [hPa]\treading [ppm]\tair_temperature [°C]\tpresent\tpresent_level [ppm]\tby\tremark\n\
                 r1\tslip-chlorine\t24-117\t2\t50\t1013\t5\t20\tchlorine-dioxide; hydrogen-chloride\t1; 30\tKL\twindy\r\n\t\t\t\t\t\t\t\t\t\t\t\n";
    let (survey, refused) = read(table, DecimalMark::Point).unwrap();
    assert!(refused.is_empty(), "{refused:?}");
    assert_eq!(
        (survey.readings.len(), survey.by.as_deref()),
        (1, Some("KL"))
    );
    let results = evaluate_csv(&book(), table, DecimalMark::Point, &Options::default())
        .unwrap()
        .results;
    assert!(close(value(&results[0]), 4.5));
    assert!(support::flags(&results[0]).contains(&"other-gas-above-tested"));
    assert_eq!(results[0].inputs["by"], "KL");
}

#[test]
fn every_column_is_read() {
    let schema = schema(EntryKind::Survey, Draft::Draft2020);
    for column in &COLUMNS {
        // What the schema gives as an example of the field is understood in a cell.
        let field = column.in_schema(&schema);
        let field = field.unwrap_or_else(|| panic!("{} is no field", column.name));
        // Of a list the first item.
        let example = match &field["examples"][0] {
            serde_json::Value::Array(items) => &items[0],
            other => other,
        };
        let cell = match example {
            serde_json::Value::String(text) => text.clone(),
            other => other.to_string(),
        };
        // Levels are those of a gas, and a period that of an average.
        let (beside, with_cell) = match column.field {
            ["readings", "present", _] if column.name != "present" => (",present", ",gas"),
            ["together", _] if column.name != "average" => (",average", ",gas"),
            _ => ("", ""),
        };
        let others: Vec<&str> = ["id", "tube", "strokes", "reading"]
            .into_iter()
            .filter(|other| *other != column.name)
            .collect();
        let others = others.join(",");
        let with = |cell: &str| {
            // The first of them is the name, without which a row of numbers is a total.
            let empty = ",".repeat(others.matches(',').count());
            let name = if column.name == "id" { "," } else { ",r1" };
            let empty = format!("{name}{empty}");
            let table = format!(
                "{}{beside},{others}\n\"{cell}\"{with_cell}{empty}\n",
                column.name
            );
            read(&table, DecimalMark::Point).unwrap()
        };
        let (filled, refused) = with(&cell);
        assert!(refused.is_empty(), "{}: {refused:?}", column.name);
        // A column that is in the list and not read would leave the survey as it was.
        assert_ne!(filled, with("").0, "{}", column.name);
        assert_eq!(filled.readings.len(), 1, "{}", column.name);
        // It goes to the field that the column says, which the list of readings of a file begins with.
        let mut at = &serde_json::to_value(&filled).unwrap();
        for key in column.field {
            at = if at[key].is_array() {
                &at[key][0]
            } else {
                &at[key]
            };
        }
        let numbers = at.as_f64().zip(example.as_f64());
        assert!(
            at == example || numbers.is_some_and(|(at, example)| close(at, example)),
            "{}: {at}",
            column.name
        );
    }
}

/// Every field of a survey file's reading has a column, but for those that a table has no room for.
#[test]
fn every_field_of_a_reading_has_a_column() {
    let schema = schema(EntryKind::Survey, Draft::Draft2020);
    let fields = |of: &str| -> Vec<String> {
        let fields = schema["$defs"][of]["properties"].as_object().unwrap();
        fields.keys().cloned().collect()
    };
    for (group, of) in [
        (None, "Reading"),
        (Some("conditions"), "Conditions"),
        (Some("pre_tube"), "PreTubeUsed"),
        (Some("reading"), "Seen"),
        (Some("present"), "Present"),
    ] {
        for field in fields(of) {
            let path: Vec<&str> = ["readings"]
                .into_iter()
                .chain(group)
                .chain([field.as_str()])
                .collect();
            let has_column = COLUMNS.iter().any(|column| column.field.starts_with(&path));
            // A group of gases stands among those that are present, by its name.
            let among_gases = path == ["readings", "present", "group"];
            // A bound stands in the cell of the reading, with its sign.
            let with_sign = ["less_than", "more_than"].contains(&field.as_str());
            let elsewhere = among_gases || with_sign;
            assert!(has_column || elsewhere || field == "amended", "{path:?}");
        }
    }
}

const SHIFT: &str = "id,at,tube,lot,expires,pump,leak_test,strokes,seen,reading [ppm],air_temperature [°C],humidity [%RH],pressure [kPa],stands_for [min],average,average_over [h],rest\n";

fn shift(rows: &[&str]) -> stainbook_evaluation::Evaluation {
    let rows: Vec<String> = rows
        .iter()
        .map(|row| {
            let (id, rest) = row.split_once(',').unwrap();
            format!(
                "{id},2026-03-02T07:40+00:00,slip-chlorine,24-117,2027-01,pump-1,held,2,{rest}\n"
            )
        })
        .collect();
    let table = format!("{SHIFT}{}", rows.concat());
    evaluate_csv(&book(), &table, DecimalMark::Point, &Options::default()).unwrap()
}

/// A shift in a spreadsheet: a column names the average, and any row of it says the period and what the rest was.
/// By hand: (5 · 120 + 2 · 240) / 480 = 2.25 ppm, the other two hours without exposure.
#[test]
fn an_average_in_a_table() {
    let evaluation = shift(&[
        "r1,,5,20,50,101.3,120,fitter,,without exposure",
        "r2,,8,20,50,101.3,15,short,0.25,",
        "r3,,2,20,50,101.3,240,fitter,8,",
        "r4,,2,20,50,101.3,,,,",
    ]);
    let [fitter, short] = &evaluation.together[..] else {
        panic!("{:#?}", evaluation.together)
    };
    assert_eq!(
        (fitter.id.as_str(), fitter.method.name()),
        ("fitter", "average")
    );
    assert!(close(fitter.value.unwrap(), 2.25), "{fitter:#?}");
    assert!(fitter.indicative && !short.indicative);
    assert!(close(short.value.unwrap(), 8.0), "{short:#?}");
    // It is kept as a survey file would say it, so that a record of it can be verified.
    let kept = &evaluation.inputs["together"];
    assert_eq!(kept[0]["readings"], serde_json::json!(["r1", "r3"]));
    assert_eq!(kept[0]["rest"], "without exposure");
    assert_eq!(
        shift(&["r4,,2,20,50,101.3,,,,"]).inputs,
        serde_json::Value::Null
    );
}

/// Averages without a figure: never one reading less than they are made of.
#[test]
fn averages_in_a_table_that_are_refused() {
    for (rows, code) in [
        // A row that cannot be read is a part all the same.
        (
            [
                "r1,,five,20,50,101.3,240,fitter,8,",
                "r2,,2,20,50,101.3,240,fitter,,",
            ],
            "reading-refused",
        ),
        (
            [
                "r1,,5,20,50,101.3,,fitter,8,",
                "r2,,2,20,50,101.3,240,fitter,,",
            ],
            "time-missing",
        ),
        (
            [
                "r1,,5,20,50,101.3,240,fitter,8,",
                "r2,,2,20,50,101.3,240,fitter,10,",
            ],
            "rows-contradict",
        ),
        (
            [
                "r1,,5,20,50,101.3,60,fitter,,without exposure",
                "r2,,2,20,50,101.3,60,fitter,,like the sampled time",
            ],
            "rows-contradict",
        ),
    ] {
        let evaluation = shift(&rows);
        let refusal = evaluation.together[0].refusal.as_ref().unwrap();
        assert_eq!(refusal.code.as_str(), code, "{rows:?} {refusal:?}");
        assert!(!evaluation.is_complete());
    }
    // What was in the time that is left is not filled in.
    let evaluation = shift(&[
        "r1,,5,20,50,101.3,60,fitter,,",
        "r2,,2,20,50,101.3,60,fitter,,",
    ]);
    assert_eq!(evaluation.together[0].highest, None);
    // The same figure in two spellings is no contradiction.
    let evaluation = shift(&[
        "r1,,5,20,50,101.3,240,fitter,8,",
        "r2,,2,20,50,101.3,240,fitter,480 min,",
    ]);
    assert!(close(evaluation.together[0].value.unwrap(), 3.5));
    let evaluation = shift(&["r1,,5,20,50,101.3,60,,8,"]);
    let refusal = evaluation.results[0].refusal.as_ref().unwrap();
    assert!(
        refusal.text.contains("(`average_over`)") && refusal.remedy.contains("under `average`"),
        "{refusal:?}"
    );
}
