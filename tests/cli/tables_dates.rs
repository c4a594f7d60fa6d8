//! Dates in tables, as countries write them: understood where they can be meant in one way only.

use rust_xlsxwriter::{ExcelDateTime, Format, Workbook};

use crate::runner::{CommandOutcome, Folder, repository};

const HEAD: &str = "id;at;tube;lot;expires;pump;leak_test;strokes;reading [ppm];air_temperature [°C];humidity [%RH];pressure [hPa];other_gases";

fn table(at: &[&str]) -> String {
    let rows = at.iter().zip(1..).map(|(at, number)| {
        format!("r{number};{at};plantroom-ammonia-c;24-071;2027-09;pump-02;held;0.5;60;20;50;1009;none known\n")
    });
    format!("{HEAD}\n{}", rows.collect::<String>())
}

fn run(name: &str, file: &str, content: impl AsRef<[u8]>, further: &[&str]) -> [CommandOutcome; 2] {
    let demo = repository("catalog/demo");
    let folder = Folder::new(name).with(file, content);
    let evaluate = ["evaluate", file, "--catalog", &demo, "--format", "json"];
    let check = ["check", file, "--catalog", &demo, "--as-of", "2026-12-01"];
    [evaluate.to_vec(), check.to_vec()].map(|mut arguments| {
        arguments.extend(further);
        folder.run(&arguments)
    })
}

#[test]
fn dates_that_are_meant_in_one_way_are_understood_and_said() {
    for (number, (at, wanted)) in [
        ("16.06.2026 06:22", "2026-06-16T06:22+02:00"),
        ("16/06/2026 06:22", "2026-06-16T06:22+02:00"),
        ("06/16/2026 6:22 AM", "2026-06-16T06:22+02:00"),
        ("2026-06-16 06:22", "2026-06-16T06:22+02:00"),
        ("16.06.2026 06:22 +01:00", "2026-06-16T06:22+01:00"),
    ]
    .into_iter()
    .enumerate()
    {
        let name = format!("dates-one-way-{number}");
        let [evaluated, checked] = run(
            &name,
            "round.survey.csv",
            table(&[at]),
            &["--zone", "+02:00"],
        );
        let words = format!("the date `{at}` was read as {wanted}");
        assert_eq!(
            evaluated.stderr.matches(&words).count(),
            1,
            "{}",
            evaluated.stderr
        );
        let found = evaluated.exits(0).json();
        assert_eq!(found["results"][0]["inputs"]["reading"]["at"], wanted);
        let checked = checked.exits(0).stdout;
        assert!(
            checked.contains("note[table-read-as]") && checked.contains(&words),
            "{checked}"
        );
    }
}

#[test]
fn dates_that_may_be_two_are_refused_with_both_and_understood_with_the_order() {
    let table = table(&["5/6/2026 06:22", "05/06/2026 7:05 PM"]);
    let [evaluated, checked] = run("dates-two", "round.survey.csv", &table, &["--zone", "Z"]);
    let evaluated = evaluated.exits(1).json();
    for (said, cell) in [
        (
            evaluated["results"][0]["refusal"].to_string(),
            "line 2, column 2 (`at`)",
        ),
        (checked.exits(1).stdout, "round.survey.csv:2:4"),
    ] {
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in [
            cell,
            "`5/6/2026` may be 2026-06-05, with the day first, or 2026-05-06, with the month first",
            "say `--dates day-first` or `--dates month-first` for all dates of the table",
        ] {
            assert!(said.contains(words), "{words}\n{said}");
        }
    }
    for (order, first, second) in [
        (
            "day-first",
            "2026-06-05T06:22+00:00",
            "2026-06-05T19:05+00:00",
        ),
        (
            "month-first",
            "2026-05-06T06:22+00:00",
            "2026-05-06T19:05+00:00",
        ),
    ] {
        let name = format!("dates-two-{order}");
        let further = ["--zone", "Z", "--dates", order];
        let [evaluated, checked] = run(&name, "round.survey.csv", &table, &further);
        checked.exits(0);
        let found = evaluated
            .says("2 rows have dates in another way")
            .exits(0)
            .json();
        for (index, wanted) in [first, second].into_iter().enumerate() {
            assert_eq!(found["results"][index]["inputs"]["reading"]["at"], wanted);
        }
    }
}

/// What the check passes, evaluating passes: a date without a zone is refused by both.
#[test]
fn a_date_without_a_zone_is_refused_by_both_commands() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (column, head) in (0..).zip(HEAD.split(';')) {
        sheet.write_string(0, column, head).unwrap();
    }
    let row = "r1;;plantroom-ammonia-c;24-071;2027-09;pump-02;held;0.5;60;20;50;1009;none known";
    for (column, cell) in (0..).zip(row.split(';')) {
        if !cell.is_empty() {
            sheet.write_string(1, column, cell).unwrap();
        }
    }
    let date = ExcelDateTime::from_ymd(2026, 6, 16)
        .unwrap()
        .and_hms(6, 22, 0)
        .unwrap();
    let format = Format::new().set_num_format("dd.mm.yyyy hh:mm");
    sheet
        .write_datetime_with_format(1, 1, &date, &format)
        .unwrap();
    let xlsx = book.save_to_buffer().unwrap();
    for (name, file, content) in [
        (
            "dates-no-zone-csv",
            "round.survey.csv",
            table(&["16.06.2026 06:22"]).into_bytes(),
        ),
        ("dates-no-zone-xlsx", "round.survey.xlsx", xlsx),
    ] {
        let [evaluated, checked] = run(name, file, &content, &[]);
        let evaluated = evaluated.exits(1).json()["results"][0]["refusal"].to_string();
        let checked = checked.exits(1).stdout;
        for said in [evaluated, checked] {
            let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(said.contains("not say in which zone"), "{said}");
            assert!(
                said.contains("give --zone") && !said.contains("+00:00"),
                "{said}"
            );
        }
        let [evaluated, checked] = run(
            &format!("{name}-given"),
            file,
            &content,
            &["--zone", "+01:00"],
        );
        let found = evaluated.exits(0).json();
        assert_eq!(
            found["results"][0]["inputs"]["reading"]["at"],
            "2026-06-16T06:22+01:00"
        );
        checked.exits(0);
    }
}

#[test]
fn times_go_with_the_day_above_the_header() {
    let above = format!(
        "date;16.06.2026\n{}",
        table(&["06:22", "6:40 AM", "2026-06-16T07:00+01:00"])
    );
    let [evaluated, checked] = run(
        "dates-above",
        "round.survey.csv",
        &above,
        &["--zone", "+01:00"],
    );
    checked.exits(0);
    let found = evaluated
        .says("date 2026-06-16 (line 1, column 2)")
        .exits(0)
        .json();
    for (index, at) in ["06:22", "06:40", "07:00"].into_iter().enumerate() {
        let wanted = format!("2026-06-16T{at}+01:00");
        assert_eq!(found["results"][index]["inputs"]["reading"]["at"], wanted);
    }
    let [evaluated, _] = run(
        "dates-above-none",
        "round.survey.csv",
        table(&["06:22"]),
        &["--zone", "Z"],
    );
    let refusal = evaluated.exits(1).json()["results"][0]["refusal"].to_string();
    assert!(
        refusal.contains("`06:22` is a time and no date"),
        "{refusal}"
    );
    let above = format!("date;5/6/2026\n{}", table(&["06:22"]));
    let [evaluated, checked] = run(
        "dates-above-two",
        "round.survey.csv",
        above,
        &["--zone", "Z"],
    );
    let words = "`5/6/2026` may be 2026-06-05";
    assert!(evaluated.exits(2).stdout.contains(words));
    assert!(checked.exits(1).stdout.contains(words));
}

#[test]
fn an_expiry_as_it_is_printed() {
    for (number, (expires, wanted)) in [("30.09.2027", "2027-09-30"), ("09/2027", "2027-09")]
        .into_iter()
        .enumerate()
    {
        let table = table(&["2026-06-16T06:22+01:00"]).replace("2027-09", expires);
        let [evaluated, checked] = run(
            &format!("dates-expiry-{number}"),
            "round.survey.csv",
            table,
            &[],
        );
        checked.exits(0);
        let found = evaluated.exits(0).json();
        assert_eq!(found["results"][0]["inputs"]["reading"]["expires"], wanted);
    }
    let table = table(&["2026-06-16T06:22+01:00"]).replace("2027-09", "09/27");
    let [evaluated, _] = run("dates-expiry-short", "round.survey.csv", table, &[]);
    let refusal = evaluated.exits(1).json()["results"][0]["refusal"].to_string();
    assert!(
        refusal.contains("`09/27` may be the month 2027-09"),
        "{refusal}"
    );
}
