//! Input that has no end, or none that anybody waits for: links in circles, devices, lines and cells that go on and on.

use crate::check_formats::lab;
use crate::runner::Folder;

/// Sixteen folders, each with two links to the next: 65,536 ways to the last.
#[cfg(unix)]
#[test]
fn a_folder_that_many_links_lead_to_is_gone_through_once() {
    use std::os::unix::fs::symlink;
    const FOLDERS: usize = 16;
    let mut folder = lab("many-links");
    for number in 0..FOLDERS {
        folder = folder.with(&format!("f{number:02}/.keep"), "");
    }
    let folder = folder.with(
        &format!("f{:02}/p.pump.yaml", FOLDERS - 1),
        "pump: p\nkind: none\n",
    );
    for number in 1..FOLDERS {
        for link in ["a", "b"] {
            let at = folder.path(&format!("f{:02}/{link}", number - 1));
            symlink(format!("../f{number:02}"), at).unwrap();
        }
    }
    symlink("..", folder.path("f00/up")).unwrap();
    for format in ["short", "text"] {
        let said = folder.run(&["check", ".", "--as-of", "2026-03-02", "--format", format]);
        let found = said.stdout.matches("p.pump.yaml:2:7").count();
        assert_eq!((said.code, found), (Some(1), 1), "{}", said.stdout);
        let counted = said.stdout + &said.stderr;
        assert!(counted.contains("in 3 files"), "{counted}");
    }
}

#[cfg(unix)]
#[test]
fn a_device_without_an_end_is_read_to_a_bound() {
    let folder = Folder::new("devices");
    let link = |name: &str| std::os::unix::fs::symlink("/dev/zero", folder.path(name)).unwrap();
    link("x.pump.yaml");
    link("x.csv");
    link("t.html");
    for arguments in [
        &["check", "x.pump.yaml"][..],
        &["sheet", "x.pump.yaml"],
        &[
            "convert", "--csv", "x.csv", "--column", "co [ppm]", "--to", "mg/m3", "-s", "CO",
        ],
        &["evaluate", "x.csv"],
    ] {
        let said = folder.run(arguments);
        assert!(matches!(said.code, Some(1 | 2)), "{arguments:?}: {said:#?}");
        assert!(
            said.stderr.contains("MiB") || said.stderr.contains("x.pump.yaml"),
            "{arguments:?}: {said:#?}"
        );
        assert!(
            said.stderr.len() + said.stdout.len() < 2000,
            "{arguments:?}"
        );
    }
}

/// A quotation mark that nothing closes makes one cell of the rest of the table.
#[test]
fn a_row_that_goes_on_for_ever_is_refused() {
    let rest = "r2,quay,3,5\n".repeat(500_000);
    let folder = Folder::new("open-quote").with(
        "x.csv",
        format!("id,tube,strokes,reading [ppm]\nr1,\"quay,3,5\n{rest}"),
    );
    let said = folder.run(&["evaluate", "x.csv", "--format", "csv"]);
    assert_eq!(said.code, Some(1), "{}", said.stderr);
    let whole = said.stdout + &said.stderr;
    assert!(whole.contains("a row has more than 4 MiB"), "{whole:.1000}");
    assert!(whole.len() < 2000, "{}", whole.len());
}

/// A value that nobody typed is told by its beginning, in every message and every format.
#[test]
fn a_long_value_is_cut_where_it_is_quoted() {
    let long = "9".repeat(300_000);
    let folder = lab("long-values")
        .with("pumps/p.pump-kind.yaml", format!("pump_kind: p\nname: P\nstroke: {long}x\nhalf_strokes: {long}y\n{long}: z\nvolume_tolerance: {long} %\n"))
        .with("x.survey.csv", format!("id,tube,strokes,reading [ppm]\nr1,{long},{long}x,{long}y\nr2,{long},3,5\n"));
    for format in crate::check_formats::FORMATS {
        let said = folder.run(&["check", ".", "--as-of", "2026-03-02", "--format", format]);
        assert_eq!(said.code, Some(1), "{format}");
        let length = said.stdout.len() + said.stderr.len();
        assert!(length < 200_000, "{format}: {length}");
    }
    for format in ["csv", "text"] {
        let said = folder.run(&["evaluate", "x.survey.csv", "--format", format]);
        let length = said.stdout.len() + said.stderr.len();
        assert!(length < 20_000, "{format}: {length}, {:.3000}", said.stdout);
    }
}
