//! `due`.

use icalendar::{Calendar, CalendarComponent, Component};

use crate::runner::{CommandOutcome, Folder, keys};

const KIND: &str = "pump_kind: quay\nname: Quay piston pump\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\nvolume_check_every: 1 year\nleak_test_every: 3 months\n";

/// A lab in which one of each is due.
fn lab(name: &str) -> Folder {
    Folder::new(name)
        .with("catalog.yaml", "catalog: lab\ntitle: Lab\nrevision: 2026-01-01\nformat: 1\nbuilds_on: [stainbook-reference]\n")
        .with("quay.pump-kind.yaml", KIND)
        .with(
            "p-off.pump.yaml",
            "pump: p-off\nkind: quay\nvolume_checks: [{date: 2026-05-02, volume: 93 mL}]\nleak_tests: [{date: 2026-05-02, result: leaked}]\n",
        )
        .with(
            "p-late.pump.yaml",
            "pump: p-late\nkind: quay\nvolume_checks: [{date: 2025-05-02, volume: 99 mL}]\nleak_tests: [{date: 2026-05-02, result: held}]\n",
        )
        .with(
            "p-mended.pump.yaml",
            "pump: p-mended\nkind: quay\nvolume_checks: [{date: 2026-05-02, volume: 99 mL}]\nleak_tests: [{date: 2026-05-20, result: held}]\nrepairs: [{date: 2026-05-10, what: new seal}]\n",
        )
        .with(
            "p-gone.pump.yaml",
            "pump: p-gone\nkind: quay\nwithdrawn: 2026-05-31\nvolume_checks: [{date: 2020-05-02, volume: 90 mL}]\n",
        )
        .with(
            "stock.boxes.csv",
            "box,tube,lot,expires,left,used_up,place\nb-old,quay-co,1,2026-05,3,,\"shelf; top, left\"\nb-soon,quay-co,2,2026-07-31,,,\"\"\"C:\\\\new\"\", Regal über dem Fenster: ganz oben, 𝄞 hinter den Flaschen; nicht rütteln\nzweite Zeile\"\nb-later,quay-co,3,2026-09,,,\nb-gone,quay-co,4,2026-01,,2026-01-20,\nb-empty,quay-co,5,2026-01,0,,\n",
        )
        .with(
            "t.plan.yaml",
            "plan: t\ntitle: T\nday: 2026-06-10\nplaces:\n  - {id: p1, place: quay, substance: carbon-monoxide, level: 5 ppm}\n",
        )
}

fn due(folder: &Folder, more: &[&str]) -> CommandOutcome {
    let mut words = vec!["due", "--as-of", "2026-06-01", "--within", "60d"];
    words.extend(more);
    folder.run(&words)
}

#[test]
fn what_is_past_stands_before_what_comes() {
    let folder = lab("due-text");
    let said = due(&folder, &[]).exits(1).stdout;
    insta::assert_snapshot!(said, @r#"
    missing              volume check  p-mended  none since the repair of 2026-05-10
             check it, and write the check down; until then its stroke counts as unchecked
    failed   2026-05-02  volume check  p-off     the last found a stroke 7 % too small, 5 % is tolerated
             have it mended, and check it again; until then it is not to be used
    failed   2026-05-02  leak test     p-off     it leaked in the last, and no test since held
             have it mended, and check it again; until then it is not to be used
    overdue  2026-05-03  volume check  p-late    the last was on 2025-05-02
             check it, and write the check down
    expired  2026-05-31  box           b-old     quay-co, lot 1, 3 left, shelf; top, left
             throw it away or mark it, and write the day under `used_up`
    missing  2026-06-10  plan          t         p1, quay: no tube is chosen; no pump is chosen
             see to it before the day, or choose otherwise: `stainbook plan` proposes what is in stock
    coming   2026-07-31  box           b-soon    quay-co, lot 2, "C:\\new", Regal über dem Fenster: ganz oben, 𝄞 hinter den Flaschen; nicht rütteln�zweite Zeile

    on 2026-06-01: 6 past, failed or missing, 1 to come within 60 days
    "#);
}

#[test]
fn nothing_past_is_no_finding() {
    let folder = Folder::new("due-well")
        .with("catalog.yaml", "catalog: lab\ntitle: Lab\nrevision: 2026-01-01\nformat: 1\nbuilds_on: [stainbook-reference]\n")
        .with("b.box.yaml", "box: b\ntube: quay-co\nlot: 24-1\nexpires: 2026-07\n");
    let said = due(&folder, &[]).exits(0).stdout;
    assert!(said.starts_with("coming   2026-07-31  box  b"), "{said}");
    let none = folder
        .run(&["due", "--as-of", "2026-06-01", "--within", "30 days"])
        .exits(0)
        .stdout;
    assert_eq!(
        none,
        "on 2026-06-01: 0 past, failed or missing, 0 to come within 30 days\n"
    );
    // The last day is still a good one.
    folder.run(&["due", "--as-of", "2026-07-31"]).exits(0);
    folder.run(&["due", "--as-of", "2026-08-01"]).exits(1);
}

#[test]
fn for_scripts_and_spreadsheets() {
    let folder = lab("due-formats");
    let json = due(&folder, &["--format", "json"]).exits(1).json();
    assert_eq!(keys(&json), ["as_of", "items", "within_days"]);
    let items = json["items"].as_array().unwrap();
    assert_eq!(
        keys(&items[0]),
        [
            "about", "day", "file", "id", "remedy", "state", "text", "what"
        ]
    );
    let ids: std::collections::BTreeSet<&str> = items
        .iter()
        .map(|item| item["id"].as_str().unwrap())
        .collect();
    assert_eq!(ids.len(), items.len());
    let csv = due(&folder, &["--format", "csv"]).exits(1).stdout;
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), items.len());
    for (row, item) in rows.iter().zip(items) {
        assert_eq!(row.get(0), item["state"].as_str());
        assert_eq!(row.get(3), item["about"].as_str());
        assert_eq!(row.get(4), item["text"].as_str());
    }
}

/// Somebody else's parser reads every event, and what it says is what the list says.
#[test]
fn a_calendar_reads_it() {
    let folder = lab("due-ics");
    let json = due(&folder, &["--format", "json"]).exits(1).json();
    let ics = due(&folder, &["--format", "ics"]).exits(1).stdout;
    for line in ics.split_terminator("\r\n") {
        assert!(line.len() <= 75, "{} octets: {line}", line.len());
        assert!(!line.contains(['\n', '\r']), "{line:?}");
    }
    let calendar: Calendar = ics.parse().unwrap();
    let events: Vec<_> = calendar
        .components
        .iter()
        .map(|component| match component {
            CalendarComponent::Event(event) => event,
            other => panic!("{other:?}"),
        })
        .collect();
    let items = json["items"].as_array().unwrap();
    assert_eq!(events.len(), items.len());
    let mut uids = std::collections::BTreeSet::new();
    for (event, item) in events.iter().zip(items) {
        let day = item["day"]
            .as_str()
            .unwrap_or("2026-06-01")
            .replace('-', "");
        assert_eq!(event.property_value("DTSTART"), Some(day.as_str()));
        assert_eq!(event.property_value("DTSTAMP"), Some("20260601T000000Z"));
        let about = item["about"].as_str().unwrap();
        assert!(event.get_summary().unwrap().starts_with(about));
        let text = format!(
            "{}\n{}\n{}",
            item["text"].as_str().unwrap(),
            item["remedy"].as_str().unwrap(),
            item["file"].as_str().unwrap()
        );
        assert_eq!(event.get_description(), Some(text.as_str()));
        assert!(uids.insert(event.get_uid().unwrap().to_owned()));
    }
    // The next list knows the same events again, by whatever name the folder is called.
    let later = folder
        .run(&[
            "due",
            "--as-of",
            "2026-06-02",
            "--format",
            "ics",
            "--catalog",
            &folder.path(""),
        ])
        .exits(1)
        .stdout;
    let later: Calendar = later.parse().unwrap();
    let known = later.components.iter().filter(|component| match component {
        CalendarComponent::Event(event) => uids.contains(event.get_uid().unwrap()),
        _ => false,
    });
    assert_eq!(known.count(), uids.len());
}

#[test]
fn what_is_asked_wrongly_is_answered() {
    let folder = lab("due-wrong");
    folder
        .run(&["due", "--as-of", "2026-02-30"])
        .exits(2)
        .says("is not a date");
    folder
        .run(&["due", "--within", "60"])
        .exits(2)
        .says("`60` has no unit");
    folder
        .run(&["due", "--catalog", "nowhere"])
        .exits(2)
        .says("there is no such folder");
    let help = folder.run(&["due", "--help"]).exits(0).stdout;
    assert!(help.contains("stainbook due --as-of"), "{help}");
}
