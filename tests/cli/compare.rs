//! `compare`.

use crate::runner::{Folder, keys, repository};

const SHEET: &str = "catalog/demo/tubes/brinewash-chlorine-a-r2.tube.yaml";

fn sheet() -> String {
    std::fs::read_to_string(repository(SHEET)).unwrap()
}

#[test]
fn two_transcriptions() {
    let mt = sheet()
        .replace("multiply_by: 0.35", "multiply_by: 3.5")
        .replace("[30, 0.93]", "[30, 0.930]")
        .replace("      - [10, 1.10]\n", "")
        .replace("25 °C, dark", "25 degC, dark")
        .replace("{by: KL, date: 2026-02-11}", "{by: MT, date: 2026-02-14}");
    let folder = Folder::new("compare-two")
        .with("kl.tube.yaml", sheet())
        .with("mt.tube.yaml", mt);
    let said = folder
        .run(&["compare", "kl.tube.yaml", "mt.tube.yaml"])
        .exits(1);
    insta::assert_snapshot!(said.stdout, @r"
    A  kl.tube.yaml
    B  mt.tube.yaml

    draw, ranges, strokes 8, multiply_by: another number (decimal point elsewhere)
      A:24  0.35                                       B:24  3.5

    correct, temperature, rows, at 10 °C: missing in B
      A:44  [10, 1.10]                                 B: nothing

    correct, temperature, rows, at 30 °C, factor: another number of printed digits
      A:46  0.93                                       B:45  0.930

    3 differences in 1 pair of files (2 in figures, 1 missing on one side); look at the leaflet for each
    ");
    assert!(said.stdout.lines().all(|line| line.chars().count() <= 100));
    let everything = ["compare", "--everything", "kl.tube.yaml", "mt.tube.yaml"];
    let said = folder.run(&everything).exits(1);
    assert!(
        said.stdout.contains("entered, by: other words"),
        "{}",
        said.stdout
    );

    let json = folder
        .run(&[
            "compare",
            "kl.tube.yaml",
            "mt.tube.yaml",
            "--format",
            "json",
        ])
        .exits(1)
        .json();
    assert_eq!(
        keys(&json),
        [
            "differences",
            "only_in_a",
            "only_in_b",
            "pairs",
            "schema_version"
        ]
    );
    assert_eq!(json["differences"], 3);
    let first = &json["pairs"][0]["differences"][0];
    assert_eq!(keys(first), ["a", "b", "field", "kind", "names", "slip"]);
    assert_eq!(first["b"]["pointer"], "/draw/ranges/2/multiply_by");
    assert_eq!(
        (&first["b"]["line"], &first["b"]["text"]),
        (&24.into(), &"3.5".into())
    );
}

#[test]
fn agreement_and_standard_input() {
    let folder = Folder::new("compare-same").with("kl.tube.yaml", sheet());
    let said = folder
        .run_with(&["compare", "-", "kl.tube.yaml"], sheet().as_bytes())
        .exits(0);
    assert_eq!(said.stdout, "no difference in meaning in 1 pair of files\n");
    folder
        .run(&["compare", "-", "-"])
        .exits(2)
        .says("one of the two only");
}

#[test]
fn folders_are_compared_file_by_file() {
    let pump = "pump_kind: quay\nname: Quay\nstroke: 100 mL\n";
    let folder = Folder::new("compare-folders")
        .with("kl/tubes/brine.tube.yaml", sheet())
        .with("kl/quay.pump-kind.yaml", pump)
        .with("mt/brine-mt.tube.yaml", sheet().replace("13]", "31]"))
        .with("mt/more.pump-kind.yaml", pump.replace("quay", "more"));
    let said = folder.run(&["compare", "kl", "mt"]).exits(1).stdout;
    assert!(
        said.contains("marks, entry 6: another number (two digits changed places)"),
        "{said}"
    );
    assert!(said.contains("only in A  kl/quay.pump-kind.yaml"), "{said}");
    assert!(said.contains("only in B  mt/more.pump-kind.yaml"), "{said}");
    folder
        .run(&["compare", "kl", "mt/brine-mt.tube.yaml"])
        .exits(2)
        .says("a file cannot be compared with a folder");
}

#[test]
fn what_was_not_read_is_never_said_to_agree() {
    let twice = format!("{}\nname: Another tube\n", sheet());
    let folder = Folder::new("compare-broken")
        .with("kl.tube.yaml", sheet())
        .with("twice.tube.yaml", twice)
        .with("open.tube.yaml", format!("{}\nremark: \"no end\n", sheet()))
        .with("quay.pump-kind.yaml", "pump_kind: quay\n")
        .with("notes.yaml", "a: 1\n");
    folder
        .run(&["compare", "kl.tube.yaml", "twice.tube.yaml"])
        .exits(2)
        .says("cannot be compared");
    folder
        .run(&["compare", "open.tube.yaml", "kl.tube.yaml"])
        .exits(2)
        .says("cannot be compared");
    folder
        .run(&["compare", "kl.tube.yaml", "quay.pump-kind.yaml"])
        .exits(2)
        .says("a pump-kind");
    folder
        .run(&["compare", "kl.tube.yaml", "notes.yaml"])
        .exits(2)
        .says("cannot be compared");
    folder
        .run(&["compare", "kl.tube.yaml", "gone.tube.yaml"])
        .exits(2)
        .says("there is no such file");
}
