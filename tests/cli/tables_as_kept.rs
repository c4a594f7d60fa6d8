//! Tables as people keep them: what is understood, what is passed over, what is asked for.

use rust_xlsxwriter::{ExcelDateTime, Format, Workbook};
use serde_json::Value;

use crate::runner::{CommandOutcome, Folder, repository};

const HEAD: &str = "id,at,tube,lot,expires,pump,leak_test,strokes,reading [ppm],seen,air_temperature [°C],humidity [%RH],pressure [hPa],other_gases";

/// A row with these strokes, this reading and this of what was seen.
fn row(strokes: &str, reading: &str, seen: &str) -> String {
    format!(
        "r1,2026-06-16T06:22+01:00,plantroom-ammonia-c,24-071,2027-09,pump-02,held,\"{strokes}\",{reading},{seen},20,50,1009,none known"
    )
}

fn evaluated(name: &str, table: &str) -> CommandOutcome {
    let demo = repository("catalog/demo");
    Folder::new(name).with("round.survey.csv", table).run(&[
        "evaluate",
        "round.survey.csv",
        "--catalog",
        &demo,
        "--format",
        "json",
    ])
}

fn result(name: &str, row: &str) -> Value {
    evaluated(name, &format!("{HEAD}\n{row}\n")).json()["results"][0].clone()
}

fn checked(name: &str, table: &str) -> String {
    let demo = repository("catalog/demo");
    let folder = Folder::new(name).with("round.survey.csv", table);
    let said = folder.run(&["check", "round.survey.csv", "--catalog", &demo]);
    said.stdout.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The whole of what a result says, without the digest of what was typed.
#[track_caller]
fn same(one: &Value, other: &Value) {
    for key in ["status", "concentration", "interval", "flags", "against"] {
        assert_eq!(one[key], other[key], "{key}");
    }
    assert_ne!(one["status"], "refused", "{one}");
}

#[test]
fn half_a_stroke_is_understood_as_people_write_it() {
    let usual = result("half-usual", &row("0.5", "60", ""));
    for (number, half) in ["½", "1/2", "0,5"].iter().enumerate() {
        same(
            &result(&format!("half-{number}"), &row(half, "60", "")),
            &usual,
        );
    }
    let text = result("half-third", &row("1/3", "60", ""))["refusal"].to_string();
    assert!(text.contains("`1/3`"), "{text}");
}

#[test]
fn a_cell_that_a_spreadsheet_made_a_date_of_is_refused_by_name() {
    for (number, (strokes, reading, cell, date)) in [
        ("02-Jan", "60", "column 8 (`strokes`)", "`02-Jan`"),
        ("2026-02-01", "60", "column 8 (`strokes`)", "`2026-02-01`"),
        ("0.5", "08. Okt", "column 9 (`reading`)", "`08. Okt`"),
    ]
    .into_iter()
    .enumerate()
    {
        let refusal =
            result(&format!("made-a-date-{number}"), &row(strokes, reading, ""))["refusal"].clone();
        let text = refusal["text"].as_str().unwrap();
        assert!(
            text.contains(&format!(
                "{cell}: a spreadsheet has made a date of this cell, {date}"
            )),
            "{text}"
        );
        let help = refusal["instead"].as_str().unwrap();
        assert!(help.contains("type it again"), "{help}");
    }
}

#[test]
fn a_date_in_a_spreadsheet_is_refused_with_what_may_have_been_typed() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (head, column) in ["id", "tube", "strokes", "reading [ppm]"].iter().zip(0..) {
        sheet.write_string(0, column, *head).unwrap();
    }
    sheet.write_string(1, 0, "r1").unwrap();
    sheet.write_string(1, 1, "plantroom-ammonia-c").unwrap();
    let day = Format::new().set_num_format("d. mmm");
    for (column, month, of_month) in [(2, 2, 1), (3, 10, 8)] {
        let date = ExcelDateTime::from_ymd(2026, month, of_month).unwrap();
        sheet
            .write_datetime_with_format(1, column, &date, &day)
            .unwrap();
    }
    let folder = Folder::new("made-a-date-xlsx").with("round.xlsx", book.save_to_buffer().unwrap());
    let demo = repository("catalog/demo");
    let said = folder
        .run(&[
            "evaluate",
            "round.xlsx",
            "--catalog",
            &demo,
            "--format",
            "json",
        ])
        .exits(1)
        .json();
    let refusal = said["results"][0]["refusal"].to_string();
    for words in [
        "cell C2 (`strokes`): the spreadsheet has made a date of this cell, 2026-02-01: `2/1` or `1/2` may have been typed",
        "cell D2 (`reading`): the spreadsheet has made a date of this cell, 2026-10-08: `10-8` or `8-10` may have been typed",
        "half a stroke is `0.5`",
        "an uneven front is `8` under `short` and `10` under `long`",
    ] {
        assert!(refusal.contains(words), "{words}\n{refusal}");
    }
}

#[test]
fn both_sides_of_a_front_in_one_cell() {
    let head = HEAD.replace("reading [ppm]", "short [ppm],long [ppm]");
    let sides = evaluated(
        "front-two-cells",
        &format!("{head}\n{}\n", row("0.5", "60,80", "")),
    );
    let sides = sides.json()["results"][0].clone();
    for (number, cell) in ["60-80", "60 – 80", "60 to 80 ppm"].iter().enumerate() {
        same(
            &result(&format!("front-{number}"), &row("0.5", cell, "")),
            &sides,
        );
    }
    let reversed = result("front-reversed", &row("0.5", "80-60", ""))["refusal"].to_string();
    assert!(
        reversed.contains("column 9 (`reading`): `80 ppm` is more than `60 ppm`"),
        "{reversed}"
    );
    let twice = format!("{HEAD},short [ppm]\n{},60\n", row("0.5", "60-80", ""));
    let twice = evaluated("front-twice", &twice).json()["results"][0]["refusal"].to_string();
    assert!(twice.contains("keep one of both"), "{twice}");
}

#[test]
fn a_reading_with_a_sign_is_answered_with_both_of_its_meanings() {
    for (number, (cell, first, second)) in [
        ("<5", "`below first mark`", "`no stain`"),
        (">100 ppm", "`beyond last mark`", "the reading itself"),
    ]
    .into_iter()
    .enumerate()
    {
        let refusal = result(&format!("sign-{number}"), &row("0.5", cell, ""))["refusal"].clone();
        let help = refusal["instead"].as_str().unwrap();
        assert!(help.contains(first) && help.contains(second), "{help}");
        assert!(
            refusal["text"].as_str().unwrap().contains(cell),
            "{refusal}"
        );
    }
    // What is offered is accepted.
    for (number, seen) in ["below first mark", "no stain", "beyond last mark"]
        .iter()
        .enumerate()
    {
        let found = result(&format!("sign-offered-{number}"), &row("0.5", "", seen));
        assert_ne!(found["status"], "refused", "{found}");
    }
}

/// The first mark is 2 ppm at one stroke, 4.2 ppm at half a stroke and 0.44 ppm at four; the last one 80 ppm at one.
#[test]
fn a_reading_with_a_sign_is_taken_where_it_is_what_the_mark_at_that_end_stands_for() {
    for (number, (strokes, cell, seen)) in [
        ("1", "<2", "below first mark"),
        ("1", "< 2 ppm", "below first mark"),
        ("1/2", "<4.2", "below first mark"),
        ("4", "<0.44", "below first mark"),
        ("1", ">80", "beyond last mark"),
    ]
    .into_iter()
    .enumerate()
    {
        let usual = result(&format!("sign-usual-{number}"), &row(strokes, "", seen));
        let found = result(&format!("sign-taken-{number}"), &row(strokes, cell, ""));
        same(&found, &usual);
        let said = found["statements"].to_string();
        assert!(said.contains(&format!("was taken as `{seen}`")), "{said}");
        let table = format!("{HEAD}\n{}\n", row(strokes, cell, ""));
        let checked = checked(&format!("sign-checked-{number}"), &table);
        assert!(!checked.contains("error["), "{checked}");
    }
    for (number, (strokes, cell, stands_for)) in [
        (
            "1/2",
            "<2",
            "the first mark is 2 ppm, which stands for 4.2 ppm at 0.5 stroke",
        ),
        ("1", "<1.9", "the first mark is 2 ppm"),
        ("1", "<10", "the first mark is 2 ppm"),
        ("1", ">2", "the last mark is 80 ppm"),
        (
            "4",
            ">80",
            "the last mark is 80 ppm, which stands for 17.6 ppm at 4 strokes",
        ),
        (
            "1",
            "<=2",
            "may be a stain beside the scale, or a bound that somebody worked out",
        ),
    ]
    .into_iter()
    .enumerate()
    {
        let name = format!("sign-refused-{number}");
        let refusal = result(&name, &row(strokes, cell, ""))["refusal"].clone();
        let text = refusal["text"].as_str().unwrap();
        assert!(text.contains(stands_for), "{text}");
        assert!(text.contains("column 9 (`reading`)"), "{text}");
        assert!(
            refusal["instead"]
                .as_str()
                .unwrap()
                .contains("under `seen`"),
            "{refusal}"
        );
        let table = format!("{HEAD}\n{}\n", row(strokes, cell, ""));
        let checked = checked(&format!("{name}-checked"), &table);
        assert_eq!(checked.matches("error[").count(), 1, "{checked}");
        assert!(
            checked.contains("round.survey.csv:2:") && checked.contains("under `seen`"),
            "{checked}"
        );
    }
}

/// Words of a survey file's own form: groups in braces, fields with a colon, marks around a text.
const OF_FILES: [&str; 5] = [
    "`{",
    "reading: {",
    "quotation marks",
    "stands_for:",
    "to the conditions",
];

/// What the rules say of a table is to be written into cells.
#[test]
fn findings_in_a_table_speak_of_cells() {
    let usual = row("0.5", "60", "");
    let head = format!("{HEAD},short [ppm],long [ppm],stands_for [min],average,blank");
    let long = |row: &str, rest: &str| format!("{row},{rest}");
    for (number, (row, rule, help)) in [
        (
            long(&row("0.5", "9000", ""), ",,,,"),
            "reading-not-on-the-scale",
            "leave the cell empty and write `beyond last mark` under `seen`",
        ),
        (
            long(&row("0.5", "<2", ""), ",,,,"),
            "reading-not-on-the-scale",
            "leave the cell empty and write under `seen` what was seen",
        ),
        (
            long(&row("0.5", "60", "no stain"), ",,,,"),
            "reading-not-one-kind",
            "keep one of the three",
        ),
        (
            long(&row("0.5", "", ""), "60,,,,"),
            "reading-not-one-kind",
            "fill in `reading`, or `short` and `long`",
        ),
        (
            long(&usual.replace(",20,", ",,"), ",,,,"),
            "conditions-missing",
            "fill in `air_temperature` in this row, or write it once above the header",
        ),
        (
            long(&usual, ",,,fitter,"),
            "times-not-for-the-average",
            "as in `90 min` under `stands_for`",
        ),
        (
            long(&usual, ",,5,fitter,yes"),
            "blank-among-readings",
            "leave `average` empty",
        ),
        (
            long(
                &usual.replace("2026-06-16T06:22+01:00", "yesterday"),
                ",,,,",
            ),
            "table-cell-unreadable",
            "write date, time and distance from UTC",
        ),
        (
            long(&usual.replace("2027-09", "soon"), ",,,,"),
            "table-cell-unreadable",
            "as in",
        ),
    ]
    .into_iter()
    .enumerate()
    {
        let found = checked(
            &format!("speaks-of-cells-{number}"),
            &format!("{head}\n{row}\n"),
        );
        assert!(found.contains(rule), "{rule}\n{found}");
        assert!(found.contains(help), "{help}\n{found}");
        for words in OF_FILES {
            assert!(!found.contains(words), "{words}\n{found}");
        }
    }
}

#[test]
fn what_an_average_is_asked_for_is_said_in_cells() {
    let head = format!("{HEAD},stands_for [min],average,average_over [h],blank");
    let usual = row("0.5", "60", "");
    let other = usual.replace("plantroom-ammonia-c,24-071", "brinewash-chlorine-a,25-004");
    let other = other
        .replace("r1,", "r2,")
        .replace(",0.5", ",3")
        .replace(",60,", ",3,")
        .replace("\"0.5\"", "3");
    for (number, (rows, help)) in [
        (
            vec![
                format!("{usual},30,fitter,8,"),
                format!("{other},30,fitter,8,"),
            ],
            "gases that act alike are put together in a survey file",
        ),
        (
            vec![format!("{usual},30,fitter,8,yes")],
            "leave `average` empty in the row of the blank",
        ),
        (
            vec![format!("{usual},30,fitter,0,")],
            "under `average_over`",
        ),
    ]
    .into_iter()
    .enumerate()
    {
        let table = format!("{head}\n{}\n", rows.join("\n"));
        let found = evaluated(&format!("average-in-cells-{number}"), &table).json();
        let refusal = found["together"].to_string();
        assert!(refusal.contains(help), "{help}\n{found}");
        assert!(!refusal.contains("method:"), "{refusal}");
    }
}

#[test]
fn what_a_row_is_asked_for_is_said_in_cells() {
    let gases = row("0.5", "60", "").replace(",none known", ",");
    let head = format!("{HEAD},short [ppm],long [ppm]");
    let half = format!("{},60,", row("0.5", "", ""));
    for (number, (head, row, help)) in [
        (HEAD, row("0.5", "", ""), "under `seen`"),
        (
            HEAD,
            row("0.5", "0.1", ""),
            "leave the cell empty and write `below first mark` under `seen`",
        ),
        (
            HEAD,
            row("0.5", "9000", ""),
            "leave the cell empty and write `beyond last mark` under `seen`",
        ),
        (HEAD, row("0.5", "60", "no stain"), "keep one of `reading`"),
        (HEAD, gases, "`none known` under `other_gases`"),
        (head.as_str(), half, "or `reading`, if the front was even"),
    ]
    .into_iter()
    .enumerate()
    {
        let table = format!("{head}\n{row}\n");
        let found = evaluated(&format!("in-cells-{number}"), &table).json();
        let found = &found["results"][0];
        let said = [&found["refusal"], &found["flags"]].map(Value::to_string);
        assert!(said.concat().contains(help), "{help}\n{said:?}");
        for said in [
            found["refusal"]["instead"].as_str(),
            found["flags"][0]["text"].as_str(),
        ] {
            let said = said.unwrap_or_default();
            assert!(!said.contains('{') && !said.contains(": none"), "{said}");
        }
    }
}

#[test]
fn all_columns_that_are_not_called_as_they_should_are_named_at_once() {
    let head = HEAD
        .replace("strokes", "n")
        .replace("air_temperature [°C]", "Temp.")
        .replace("seen", "comments")
        .replace("id,", "Nr,");
    let table = format!("{head},weather\n{},rain\n", row("0.5", "60", ""));
    let said = evaluated("columns-at-once", &table).exits(2).stdout;
    for words in [
        "line 1, column 1: no columns are called `Nr`, `n`, `comments`, `Temp.`",
        "`id` for `Nr`",
        "`strokes` for `n`",
        "`remark` for `comments`",
        "`air_temperature [°C]` for `Temp.`",
    ] {
        assert!(said.contains(words), "{words}\n{said}");
    }
    let found = checked("columns-at-once-checked", &table);
    assert_eq!(found.matches("error[").count(), 1, "{found}");
    assert!(
        found.contains("no columns are called `Nr`, `n`, `comments`, `Temp.`"),
        "{found}"
    );
    // Under the names that are offered the table is read.
    let offered = head
        .replace("Nr,", "id,")
        .replace(",n,", ",strokes,")
        .replace("comments", "remark")
        .replace("Temp.", "air_temperature [°C]");
    evaluated(
        "columns-offered",
        &format!("{offered}\n{}\n", row("0.5", "60", "")),
    )
    .exits(0);
}

#[test]
fn columns_that_are_missing_are_named_at_once_with_those_not_understood() {
    let said = evaluated("columns-missing", "id,shift,weather\nr1,2,rain\n")
        .exits(2)
        .stdout;
    for words in [
        "there is no column `tube`, `strokes`, `reading [ppm]`",
        "not understood: `shift`, `weather`",
    ] {
        assert!(said.contains(words), "{words}\n{said}");
    }
}

#[test]
fn columns_of_ones_own_are_listed_once_and_passed_over() {
    let usual = result("own-none", &row("0.5", "60", ""));
    let table = format!(
        "{HEAD},weather,Nr,x_temp,\n{},rain,1,hot,\n{},dry,2,02-Jan,\n",
        row("0.5", "60", ""),
        row("0.5", "60", "").replace("r1", "r2")
    );
    let said = evaluated("own-columns", &table);
    let words = "the columns `weather`, `Nr`, `x_temp` are none of a survey's and are passed over";
    assert_eq!(said.stderr.matches(words).count(), 1, "{}", said.stderr);
    same(&said.exits(0).json()["results"][0], &usual);
    let found = checked("own-columns-checked", &table);
    assert_eq!(found.matches(words).count(), 1, "{found}");
    assert!(found.contains("note[table-columns-passed-over]"), "{found}");
    assert!(!found.contains("error["), "{found}");
}

#[test]
fn a_unit_may_stand_in_parentheses() {
    let usual = result("parentheses-none", &row("0.5", "60", ""));
    let head = HEAD.replace('[', "(").replace(']', ")");
    let said = evaluated(
        "parentheses",
        &format!("{head}\n{}\n", row("0.5", "60", "")),
    );
    same(&said.exits(0).json()["results"][0], &usual);
}
