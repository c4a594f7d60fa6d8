//! `import`: sheets made of a laboratory's table.

use stainbook::catalog::{Book, SourceFile};

use crate::runner::{CommandOutcome, Folder};
use crate::spreadsheets::workbook;

/// An invented table, as somebody keeps one: a title, columns of its own, two tubes.
const TABLE: &str = "\
Tubes in use,,,,,,,,,,,
Tube,Rev.,Gas,Strokes,Factor,From [ppm],To [ppm],Unit,Marks,Stroke volume [mL],Shelf,Colour after
Kiln CO tube K,2,CO,1,1,5,70,ppm,5; 10; 20; 40; 70,100,A3,brown
Kiln CO tube K,2,carbon monoxide,2,0.50,2.5,35,ppm,,100,A3,
Kiln CO tube K,2,CO,3,0.330,1.7,23,ppm,,100,,
Kiln ammonia M,1,NH3,1,1.0,2,80,ppm,2 4.5 10 22 45 80,100,B1,blue
";

fn import(folder: &Folder, table: &str) -> CommandOutcome {
    let arguments = [
        "import",
        table,
        "--as",
        "tube",
        "--map",
        "lab.import-map.yaml",
        "--in",
        "tubes",
    ];
    folder.run(&arguments)
}

/// Imports a table with the map that is drafted from its header.
fn imported(name: &str, table: &str) -> (Folder, CommandOutcome) {
    let folder = Folder::new(name).with("lab.csv", table);
    import(&folder, "lab.csv").exits(0);
    let said = import(&folder, "lab.csv");
    (folder, said)
}

#[test]
fn a_map_is_drafted_from_the_header_and_never_written_over() {
    let folder = Folder::new("import-draft").with("lab.csv", TABLE);
    let said = import(&folder, "lab.csv").exits(0);
    assert_eq!(said.stdout, "lab.import-map.yaml\n");
    let map = folder.read("lab.import-map.yaml");
    for line in [
        "as: tube\n",
        "  - {header: Tube, field: name}\n",
        "  - {header: Gas, field: measures.substance}\n",
        "  - {header: \"From [ppm]\", field: draw.ranges.from, unit: ppm}\n",
        "  - {header: \"Stroke volume [mL]\", field: draw.stroke, unit: mL}\n",
        "  - {header: Shelf, field: unplaced}\n",
    ] {
        assert!(map.contains(line), "{line}\n{map}");
    }
    assert!(!std::path::Path::new(&folder.path("tubes")).exists());
    let own = map.replace(
        "header: Shelf, field: unplaced",
        "header: Shelf, field: remark",
    );
    let folder = folder.with("lab.import-map.yaml", &own);
    import(&folder, "lab.csv").exits(0);
    assert_eq!(folder.read("lab.import-map.yaml"), own);
}

#[test]
fn each_tube_becomes_a_sheet_with_its_own_digits_and_nothing_else() {
    let (folder, said) = imported("import-sheets", TABLE);
    let said = said.exits(1);
    assert_eq!(
        said.stdout,
        "tubes/kiln-co-tube-k-r2.tube.yaml\ntubes/kiln-ammonia-m-r1.tube.yaml\n"
    );
    // A column of the laboratory's own is the only thing without a place.
    let unplaced: Vec<&str> = said
        .stderr
        .lines()
        .filter(|line| line.starts_with("not placed: "))
        .collect();
    assert_eq!(
        unplaced,
        ["not placed: column `Shelf`, 3 cells: the map says `unplaced`"]
    );
    let text = folder.read("tubes/kiln-co-tube-k-r2.tube.yaml");
    insta::assert_snapshot!(text, @r#"
    # Made of a table, of its rows 3, 4, 5. What the table does not say is left out, and `stainbook check` asks for it.
    tube: kiln-co-tube-k-r2
    name: Kiln CO tube K

    leaflet:
      revision: "2"

    measures:
      substance: carbon-monoxide

    draw:
      stroke: 100 mL
      ranges:
        - {strokes: 1, multiply_by: 1, from: 5, to: 70}
        - {strokes: 2, multiply_by: 0.50, from: 2.5, to: 35}
        - {strokes: 3, multiply_by: 0.330, from: 1.7, to: 23}

    read:
      scales:
        - {unit: ppm, marks: [5, 10, 20, 40, 70]}
      stain: {to: brown}
    "#);
    // The check asks for what is missing, and has nothing else to say.
    let folder = folder.with(
        "catalog.yaml",
        "catalog: kiln\ntitle: Kiln\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n",
    );
    let checked = folder
        .run(&["check", "tubes", "--format", "json"])
        .exits(1)
        .json();
    for finding in checked["findings"].as_array().unwrap() {
        let rule = finding["rule"].as_str().unwrap();
        let asked = ["missing-key", "range-incomplete", "not-verified"];
        assert!(asked.contains(&rule), "{finding}");
    }
}

/// The demo's sheets as a table, and that table as sheets: what both can say is the same, to the last digit.
#[test]
fn a_table_made_of_sheets_becomes_those_sheets() {
    let (demo, _) = Book::demo();
    let mut rows = vec![
        "tube,name,title,revision,gas,strokes,factor,from,to,seconds per stroke,unit,marks,printed for,stroke".to_owned(),
    ];
    let mut count = 0;
    for (entry, tube) in demo.tubes() {
        let [scale] = tube.printed_scales() else {
            continue;
        };
        let Some(gas) = tube
            .measures
            .as_ref()
            .and_then(|measures| measures.substance.as_deref())
        else {
            continue;
        };
        let leaflet = tube.leaflet.as_ref().unwrap();
        let marks: Vec<&str> = scale.marks.iter().map(|mark| mark.text()).collect();
        for range in tube.ranges() {
            let number = |number: &Option<stainbook_catalog::written::Num>| {
                number.as_ref().map_or("", |it| it.text()).to_owned()
            };
            let cells = [
                entry.id().to_owned(),
                tube.name.clone().unwrap(),
                leaflet.title.clone().unwrap(),
                leaflet.revision.clone().unwrap(),
                gas.to_owned(),
                number(&range.strokes),
                number(&range.multiply_by),
                number(&range.from),
                number(&range.to),
                number(&range.seconds_per_stroke),
                scale.unit.clone().unwrap(),
                marks.join(";"),
                number(&scale.printed_for_strokes),
                tube.stroke().unwrap().text().to_owned(),
            ];
            rows.push(cells.map(|cell| format!("\"{cell}\"")).join(","));
        }
        count += 1;
    }
    assert!(10 < count, "{count}");
    // `tube` is the short name here, and the name of a tube in other tables: a person says which.
    let table = rows.join("\n") + "\n";
    let folder = Folder::new("import-round-trip").with("lab.csv", &table);
    import(&folder, "lab.csv").exits(0);
    let map = folder.read("lab.import-map.yaml");
    let map = map
        .replace("{header: tube, field: name}", "{header: tube, field: tube}")
        .replace(
            "{header: name, field: unplaced}",
            "{header: name, field: name}",
        )
        .replace(
            "{header: title, field: unplaced}",
            "{header: title, field: leaflet.title}",
        );
    let folder = folder.with("lab.import-map.yaml", map);
    let said = import(&folder, "lab.csv").exits(0);
    assert_eq!(said.stdout.lines().count(), count);
    let sources = said
        .stdout
        .lines()
        .map(|path| SourceFile::new(path, folder.read(path)));
    let (book, findings) = Book::read(sources);
    for finding in &findings {
        let message = finding.message_text();
        assert!(message.contains("missing"), "{message}");
    }
    for (entry, tube) in book.tubes() {
        let (_, wanted) = demo
            .tubes()
            .find(|(demo, _)| demo.id() == entry.id())
            .unwrap();
        let number = |number: &Option<stainbook_catalog::written::Num>| {
            number.as_ref().map(|it| it.text().to_owned())
        };
        let ranges = |tube: &stainbook_catalog::written::TubeEntry| -> Vec<_> {
            let ranges = tube.ranges().iter();
            ranges
                .map(|range| {
                    [
                        &range.strokes,
                        &range.multiply_by,
                        &range.from,
                        &range.to,
                        &range.seconds_per_stroke,
                    ]
                    .map(number)
                })
                .collect()
        };
        assert_eq!(ranges(tube), ranges(wanted), "{}", entry.id());
        let scale = |tube: &stainbook_catalog::written::TubeEntry| {
            let scale = &tube.printed_scales()[0];
            let marks: Vec<String> = scale
                .marks
                .iter()
                .map(|mark| mark.text().to_owned())
                .collect();
            (
                scale.unit.clone(),
                marks,
                number(&scale.printed_for_strokes),
            )
        };
        assert_eq!(scale(tube), scale(wanted), "{}", entry.id());
        assert_eq!(tube.name, wanted.name);
        assert_eq!(tube.stroke(), wanted.stroke());
        assert_eq!(
            tube.measures.as_ref().unwrap().substance,
            wanted.measures.as_ref().unwrap().substance
        );
        let [leaflet, of_demo] = [tube, wanted].map(|tube| tube.leaflet.as_ref().unwrap());
        assert_eq!(
            (&leaflet.title, &leaflet.revision),
            (&of_demo.title, &of_demo.revision)
        );
        // Nothing stands there that the table does not say.
        assert!(tube.correct.is_none() && tube.performance.is_none() && tube.entered.is_none());
    }
}

#[test]
fn what_has_no_place_is_listed_cell_by_cell() {
    let table = "\
Tube,Gas,Strokes,Factor,From,To,Unit,Marks,Stroke
Kiln A,CO,1,1,5,70,ppm,5;10;20;40;70,100 mL
Kiln A,CO,1,0.9,5,70,ppm,,
Kiln A,CO,two,0.5,2.5 mg/m3,35 ppm,ppm,,200 mL
,CO,1,1,5,70,ppm,,
Kiln B,swamp gas,1,\"1,5\",5,70,ppm,5;ten,
";
    let (folder, said) = imported("import-unplaced", table);
    let said = said.exits(1);
    let unplaced: Vec<&str> = said
        .stderr
        .lines()
        .filter_map(|line| line.strip_prefix("not placed: "))
        .collect();
    for words in [
        "row 3, `Strokes`: `1, 0.9, 5, 70`: row 2 has the count 1 of this tube already, and was taken",
        "row 4, `Strokes`: `two`: ",
        "row 4, `From`: `2.5 mg/m3`: it is in mg/m3, and the scale in ppm",
        "row 4, `Stroke`: `200 mL`: row 2 of the same tube says `100 mL`, which was taken",
        "row 5, `name`: `, CO, 1, 1, 5, 70, ppm, , `: the row names no tube",
        "row 6, `Gas`: `swamp gas`: the reference data has no substance of this name",
        "row 6, `Factor`: `1,5`: ",
        "row 6, `Marks`: `5;ten`: ",
    ] {
        assert!(
            unplaced.iter().any(|line| line.starts_with(words)),
            "{words}\n{unplaced:#?}"
        );
    }
    assert_eq!(unplaced.len(), 8, "{unplaced:#?}");
    let text = folder.read("tubes/kiln-a.tube.yaml");
    assert!(text.contains("- {multiply_by: 0.5, to: 35}"), "{text}");
    assert!(!text.contains("200") && !text.contains("2.5"), "{text}");
}

#[test]
fn decimal_commas_are_understood_where_somebody_says_so() {
    let table =
        "Tube;Gas;Strokes;Factor;From;To;Unit;Marks\nKiln A;CO;1;0,50;2,5;35;ppm;2,5 5 10 35\n";
    let (folder, said) = imported("import-comma", table);
    said.exits(1).says("row 2, `Factor`: `0,50`: ");
    std::fs::remove_file(folder.path("tubes/kiln-a.tube.yaml")).unwrap();
    let arguments = [
        "import",
        "lab.csv",
        "--as",
        "tube",
        "--map",
        "lab.import-map.yaml",
        "--in",
        "tubes",
        "--decimal-comma",
    ];
    folder.run(&arguments).exits(0);
    let text = folder.read("tubes/kiln-a.tube.yaml");
    assert!(
        text.contains("{strokes: 1, multiply_by: 0.50, from: 2.5, to: 35}"),
        "{text}"
    );
    assert!(text.contains("marks: [2.5, 5, 10, 35]"), "{text}");
}

#[test]
fn nothing_is_overwritten() {
    let (folder, _) = imported("import-again", TABLE);
    let folder = folder.with("tubes/kiln-ammonia-m-r1.tube.yaml", "tube: mine\n");
    let said = import(&folder, "lab.csv")
        .exits(1)
        .says("not written: `tubes/kiln-ammonia-m-r1.tube.yaml` is there already");
    assert_eq!(said.stdout, "");
    assert_eq!(
        folder.read("tubes/kiln-ammonia-m-r1.tube.yaml"),
        "tube: mine\n"
    );
}

#[test]
fn a_map_is_strict() {
    for (number, (from, to, words)) in [
        ("field: measures.substance", "field: measures.gas", "line "),
        ("as: tube", "as: tube\nround: 3", "line "),
        ("as: tube", "as: pump", "line "),
        (
            "header: Shelf,",
            "header: Gas,",
            "the column `Gas` is there twice",
        ),
        (
            "header: Shelf, field: unplaced",
            "header: Shelf, field: name",
            "two columns go to `name`",
        ),
        (
            "header: Tube, field: name",
            "header: Tube, field: unplaced",
            "no column goes to `name` or `tube`",
        ),
    ]
    .into_iter()
    .enumerate()
    {
        let folder = Folder::new(&format!("import-strict-{number}")).with("lab.csv", TABLE);
        import(&folder, "lab.csv").exits(0);
        let map = folder.read("lab.import-map.yaml");
        let changed = map.replace(from, to);
        assert_ne!(map, changed, "{from}");
        let folder = folder.with("lab.import-map.yaml", changed);
        import(&folder, "lab.csv").exits(2).says(words);
        assert!(!std::path::Path::new(&folder.path("tubes")).exists());
    }
    Folder::new("import-no-header")
        .with("lab.csv", "a,b\n1,2\n")
        .run(&["import", "lab.csv", "--as", "tube", "--map", "m.yaml"])
        .exits(2)
        .says("no row of the table looks like its header");
}

#[test]
fn a_spreadsheet_is_read_like_a_text() {
    let lines: Vec<Vec<String>> = TABLE
        .lines()
        .map(|line| line.split(',').map(str::to_owned).collect())
        .collect();
    let head: Vec<&str> = lines[0].iter().map(String::as_str).collect();
    let folder = Folder::new("import-xlsx").with("lab.xlsx", workbook(&head, &lines[1..]));
    import(&folder, "lab.xlsx").exits(0);
    import(&folder, "lab.xlsx").exits(1);
    let text = folder.read("tubes/kiln-ammonia-m-r1.tube.yaml");
    assert!(
        text.contains("- {strokes: 1, multiply_by: 1, from: 2, to: 80}"),
        "{text}"
    );
    assert!(text.contains("marks: [2, 4.5, 10, 22, 45, 80]"), "{text}");
}
