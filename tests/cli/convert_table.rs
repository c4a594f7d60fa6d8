//! `convert --csv`.

use crate::runner::Folder;

const TERMS: [&str; 8] = [
    "--to",
    "mg/m3",
    "-s",
    "CO",
    "--temperature=25C",
    "--pressure=101.325kPa",
    "--column",
    "co [ppm]",
];

fn arguments<'a>(file: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    let mut all = vec!["convert", "--csv", file];
    all.extend(TERMS);
    all.extend(more);
    all
}

#[test]
fn a_column_is_added_and_bad_cells_are_named() {
    let folder = Folder::new("table").with(
        "log.csv",
        "time,co [ppm],remark\n07:40,25,\"a, b\"\n07:41,\"0,5\",x\n07:42,,x\n07:43,25 ppm,x\n07:44,-3,x\n07:45,1\n07:46,1e3,x\n",
    );
    let said = folder.run(&arguments("log.csv", &[])).exits(1);
    let lines: Vec<&str> = said.stdout.lines().collect();
    assert_eq!(lines.len(), 8, "every row is kept");
    assert_eq!(lines[0], "time,co [ppm],remark,co [mg/m³]");
    let value: f64 = lines[1]
        .strip_prefix("07:40,25,\"a, b\",")
        .unwrap()
        .parse()
        .unwrap();
    assert!((value - 28.622_05).abs() < 1e-5);
    assert_eq!(
        &lines[2..7],
        [
            "07:41,\"0,5\",x,",
            "07:42,,x,",
            "07:43,25 ppm,x,",
            "07:44,-3,x,",
            "07:45,1,,"
        ]
    );
    for words in [
        "line 3, column 2 (co [ppm]): `0,5` has a decimal comma; write `0.5`, or say --decimal-comma",
        "line 5, column 2 (co [ppm]): `ppm` stands after the number; the unit stands in the head of the column: write `25`",
        "line 6, column 2 (co [ppm]): `-3 ppm` is below zero",
        "line 7, column 2 (co [ppm]): the row has 2 cells, the first row has 3",
        "4 cells could not be converted",
        "mg/m³ at 25 °C and 101.325 kPa",
    ] {
        assert!(
            said.stderr.contains(words),
            "not said: {words}\n{}",
            said.stderr
        );
    }
}

#[test]
fn standard_input_decimal_commas_and_a_byte_order_mark() {
    let folder = Folder::new("table-commas");
    let said = folder
        .run_with(
            &arguments("-", &["--decimal-comma"]),
            "\u{feff}co [ppm];x\r\n25,5;a\r\n".as_bytes(),
        )
        .exits(0);
    let row = said.stdout.lines().nth(1).unwrap();
    assert!(row.starts_with("25,5;a;29,19"), "{row}");
}

#[test]
fn the_single_answer_and_the_table_agree() {
    let folder = Folder::new("table-agrees").with("log.csv", "co [ppm]\n25\n0.1\n1234.5\n");
    let table = folder.run(&arguments("log.csv", &[])).exits(0).stdout;
    for (row, value) in table.lines().skip(1).zip(["25ppm", "0.1ppm", "1234.5ppm"]) {
        let mut single = vec!["convert", value, "--format", "json"];
        single.extend(&TERMS[..6]);
        let single = folder.run(&single).exits(0).json()["result"]["value"]
            .as_f64()
            .unwrap();
        let in_table: f64 = row.split(',').nth(1).unwrap().parse().unwrap();
        assert_eq!(single, in_table, "{value}");
    }
}

#[test]
fn what_is_wrong_with_the_table_as_a_whole() {
    let folder = Folder::new("table-refusals")
        .with("empty.csv", "")
        .with("other.csv", "h2s [ppm],x\n1,2\n")
        .with("bare.csv", "co\n1\n")
        .with("twice.csv", "co [ppm],co [mg/m³]\n1,2\n")
        .with("kind.csv", "co [kPa]\n1\n");
    for (file, column, words) in [
        ("empty.csv", "co [ppm]", "the table is empty"),
        (
            "other.csv",
            "co [ppm]",
            "no column `co [ppm]`\n  help: it has `h2s [ppm]`, `x`",
        ),
        (
            "bare.csv",
            "co",
            "the name of the column `co` has no unit\n  help: write the unit in brackets in the first row",
        ),
        ("twice.csv", "co [ppm]", "has a column `co [mg/m³]` already"),
        (
            "kind.csv",
            "co [kPa]",
            "column `co [kPa]`: `kPa` is a unit of pressure",
        ),
        (
            "missing.csv",
            "co",
            "cannot read `missing.csv`: there is no such file",
        ),
    ] {
        let mut all = vec!["convert", "--csv", file];
        all.extend(&TERMS[..6]);
        all.extend(["--column", column]);
        let said = folder.run(&all).exits(2).says(words);
        assert!(said.stdout.is_empty(), "{file}");
    }
}

#[test]
fn many_bad_cells_are_counted_and_not_all_described() {
    let folder =
        Folder::new("table-many-bad").with("log.csv", format!("co [ppm]\n{}", "x\n".repeat(500)));
    let said = folder
        .run(&arguments("log.csv", &[]))
        .exits(1)
        .says("500 cells could not be converted, 480 of them not described");
    assert!(said.stderr.lines().count() < 30);
}

#[test]
fn conditions_in_which_nobody_works_are_refused_unless_asked_for() {
    let folder = Folder::new("table-implausible").with("log.csv", "time,co [ppm]\n07:40,25\n");
    let mut arguments = arguments("log.csv", &[]);
    for argument in &mut arguments {
        if argument.starts_with("--pressure") {
            *argument = "--pressure=1013kPa";
        }
    }
    let said = folder.run(&arguments).exits(2);
    assert!(said.stdout.is_empty(), "{}", said.stdout);
    for words in ["`1013 hPa` may be meant", "add `--implausible`"] {
        assert!(said.stderr.contains(words), "{}", said.stderr);
    }
    arguments.push("--implausible");
    let said = folder.run(&arguments).exits(0);
    assert!(
        said.stderr.contains("note: `1013 kPa` is no pressure"),
        "{}",
        said.stderr
    );
    assert!(said.stdout.contains("07:40,25,286."), "{}", said.stdout);
}

#[test]
fn it_is_written_to_a_file_when_everything_is_written() {
    let rows = "07:40,25\n".repeat(20_000);
    let folder = Folder::new("table-file")
        .with("log.csv", format!("time,co [ppm]\n{rows}"))
        .with("bad.csv", "time,co [ppm]\n1,25\n2,much\n");
    let printed = folder.run(&arguments("log.csv", &[])).exits(0);
    let said = folder
        .run(&arguments("log.csv", &["--output", "out.csv"]))
        .exits(0);
    assert_eq!(said.stdout, "");
    assert!(folder.read("out.csv") == printed.stdout);
    // What cannot be converted is named and its rows are kept, in a file as elsewhere.
    folder
        .run(&arguments("bad.csv", &["-o", "out.csv"]))
        .exits(1)
        .says("1 cell could not be converted");
    assert_eq!(folder.read("out.csv").lines().count(), 3);
    // Where nothing is converted, what was there stays, and nothing comes beside it.
    for refused in [
        arguments("missing.csv", &["-o", "out.csv"]),
        arguments("log.csv", &["-o", "log.csv"]),
        arguments("log.csv", &["-o", "no/such/out.csv"]),
        arguments("log.csv", &["-o", "lab.survey.csv"]),
        vec!["convert", "25", "ppm", "--to", "ppb", "-o", "out.csv"],
    ] {
        let before = (folder.read("out.csv"), folder.read("log.csv"));
        folder.run(&refused).exits(2);
        assert!((folder.read("out.csv"), folder.read("log.csv")) == before);
        assert_eq!(std::fs::read_dir(folder.root()).unwrap().count(), 3);
    }
    let input = std::fs::File::open(folder.path("log.csv")).unwrap();
    let end = std::process::Command::new(env!("CARGO_BIN_EXE_stainbook"))
        .args(arguments("-", &["-o", "log.csv"]))
        .current_dir(folder.root())
        .stdin(input)
        .status()
        .unwrap();
    assert_eq!(end.code(), Some(2));
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("/dev/full", folder.path("full")).unwrap();
        folder
            .run(&arguments("log.csv", &["-o", "full"]))
            .exits(2)
            .says("cannot write `full`: the disk is full");
    }
}
