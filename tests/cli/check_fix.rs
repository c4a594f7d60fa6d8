//! `check --fix`: what is mended, what is left, and that nothing else of a file changes.

use std::fs;

use crate::runner::Folder;

const CATALOG: &str = "catalog: quay\ntitle: Quay\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n";
const KIND: &str = "pump_kind: quay-piston\nname: Quay piston pump\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\n";

/// A remark, a comment, odd spaces and no line end at the end, all of which stay.
const WORN: &str = "# first line\n\npump_kind:   worn  # the old one\nname: \"Worn,  µ NO\"\nstroke: 0,1 L   # 0,1 L as printed\nhalf_strokes: true\nvolume_tolerance: 5 %\n\n# NO\nremark: NO";
const WORN_MENDED: &str = "# first line\n\npump_kind:   worn  # the old one\nname: \"Worn,  µ NO\"\nstroke: 0.1 L   # 0,1 L as printed\nhalf_strokes: true\nvolume_tolerance: 5 %\n\n# NO\nremark: \"NO\"";
const FILE: &str = "pumps/worn.pump-kind.yaml";

fn lab(name: &str) -> Folder {
    Folder::new(name)
        .with("catalog.yaml", CATALOG)
        .with("pumps/quay-piston.pump-kind.yaml", KIND)
}

#[test]
fn what_is_safe_is_mended_and_nothing_else_changes() {
    let worn = lab("fix-safe").with(FILE, WORN);
    let before = worn.bytes("catalog.yaml");
    let said = worn
        .run(&["check", ".", "--fix"])
        .exits(0)
        .says("mended: pumps/worn.pump-kind.yaml (2 findings)");
    assert_eq!(said.stdout, "no findings in 3 files\n");
    assert_eq!(worn.read(FILE), WORN_MENDED);
    assert_eq!(worn.bytes("catalog.yaml"), before);
    worn.run(&["check", ".", "--fix"])
        .exits(0)
        .says("nothing was mended");
    assert_eq!(worn.read(FILE), WORN_MENDED);
    let names: Vec<_> = fs::read_dir(worn.path("pumps"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name())
        .collect();
    assert_eq!(
        names.len(),
        2,
        "nothing is left beside the files: {names:?}"
    );
}

#[test]
fn line_ends_stay_and_a_byte_order_mark_goes() {
    let crlf = |text: &str| text.replace('\n', "\r\n");
    let folder = lab("fix-crlf").with(FILE, format!("\u{feff}{}", crlf(WORN)));
    folder
        .run(&["check", ".", "--fix"])
        .exits(0)
        .says("(3 findings)");
    assert_eq!(folder.read(FILE), crlf(WORN_MENDED));
}

#[test]
fn guesses_are_left_to_a_person() {
    for (name, text, rule) in [
        (
            "fix-id",
            "pump: worn\nkind: quay-pisten\n",
            "unresolved-reference",
        ),
        (
            "fix-key",
            "pump: worn\nkind: quay-piston\nserail: \"7\"\n",
            "unknown-key",
        ),
        (
            "fix-thousands",
            "pump: worn\nkind: quay-piston\nvolume_checks:\n  - {date: 2026-01-14, volume: \"1,250 mL\"}\n",
            "decimal-comma",
        ),
        (
            "fix-zero",
            "pump: worn\nkind: quay-piston\nserial: 0755\n",
            "wrong-shape",
        ),
    ] {
        let folder = lab(name).with("pumps/worn.pump.yaml", text);
        let said = folder
            .run(&["check", ".", "--fix", "--format", "short"])
            .says("nothing was mended");
        assert!(said.stdout.contains(rule), "{name}: {}", said.stdout);
        assert_eq!(folder.read("pumps/worn.pump.yaml"), text, "{name}");
    }
}

#[test]
fn what_is_accepted_or_silenced_is_not_mended() {
    let accepted = "pump: worn\nkind: quay-piston\nserial: NO\naccept:\n  - {rule: yaml-1-1-word, because: no other reader}\n";
    let silenced = format!(
        "{CATALOG}rules:\n  - {{rule: unit-not-canonical, level: silent, because: house style}}\n"
    );
    let folder = lab("fix-accepted")
        .with("pumps/worn.pump.yaml", accepted)
        .with(
            "pumps/ml.pump-kind.yaml",
            KIND.replace("quay-piston", "ml").replace("mL", "ml"),
        )
        .with("catalog.yaml", silenced);
    folder
        .run(&["check", ".", "--fix"])
        .exits(0)
        .says("nothing was mended");
    assert_eq!(folder.read("pumps/worn.pump.yaml"), accepted);
}

#[test]
fn units_are_mended_wherever_they_stand() {
    let tube = "tube: quay-r1\nbefore_use:\n  usable: {temperature: 0 to 40degC, humidity: '10 to 85 %RH'}\ndraw: {stroke: '100 ml'}\n\
                read: {scales: [{unit: mg/m3, marks: [1, 2]}]}\ncorrect: {temperature: {method: factor table, columns: [ degC , factor]}}\nname: 5 mg/m3 and more\n";
    let folder = lab("fix-units").with("tubes/quay-r1.tube.yaml", tube);
    folder.run(&["check", ".", "--fix"]).exits(1);
    let expected = tube
        .replace("40degC", "40°C")
        .replace("100 ml", "100 mL")
        .replace("unit: mg/m3", "unit: mg/m³")
        .replace("[ degC ,", "[ °C ,");
    assert_eq!(folder.read("tubes/quay-r1.tube.yaml"), expected);
}

#[test]
fn a_dry_run_shows_a_difference_that_can_be_applied() {
    let folder = lab("fix-dry").with(FILE, WORN);
    let said = folder
        .run(&["check", ".", "--fix", "--dry-run"])
        .exits(1)
        .says("2 findings would be mended in 1 file");
    assert_eq!(folder.read(FILE), WORN, "nothing was written");
    insta::assert_snapshot!(said.stdout, @r#"
    --- a/pumps/worn.pump-kind.yaml
    +++ b/pumps/worn.pump-kind.yaml
    @@ -2,9 +2,9 @@
     
     pump_kind:   worn  # the old one
     name: "Worn,  µ NO"
    -stroke: 0,1 L   # 0,1 L as printed
    +stroke: 0.1 L   # 0,1 L as printed
     half_strokes: true
     volume_tolerance: 5 %
     
     # NO
    -remark: NO
    \ No newline at end of file
    +remark: "NO"
    \ No newline at end of file
    "#);
    let clean = lab("fix-dry-clean");
    let said = clean
        .run(&["check", ".", "--fix", "--dry-run"])
        .exits(0)
        .says("0 findings would be mended in 0 files");
    assert_eq!(said.stdout, "");
}

#[test]
fn files_in_another_encoding_are_left() {
    let latin = b"pump: latin\nkind: quay-piston\nserial: NO\nremark: caf\xe9\n";
    let folder = lab("fix-latin")
        .with("pumps/latin.pump.yaml", latin)
        .with(FILE, WORN);
    folder
        .run(&["check", ".", "--fix"])
        .exits(1)
        .says("pumps/latin.pump.yaml is left as it is: it is not saved as UTF-8")
        .says("mended: pumps/worn");
    assert_eq!(folder.bytes("pumps/latin.pump.yaml"), latin);
    let nul = b"pump: nul\nkind: quay-piston\nremark: a\x00b\nserial: NO\n";
    let folder = lab("fix-nul").with("pumps/nul.pump.yaml", nul);
    folder.run(&["check", ".", "--fix"]).exits(1);
    assert_eq!(
        folder.bytes("pumps/nul.pump.yaml"),
        b"pump: nul\nkind: quay-piston\nremark: a\x00b\nserial: \"NO\"\n"
    );
}

#[test]
fn a_file_that_is_not_to_be_written_is_said_and_the_others_are_mended() {
    let folder = lab("fix-read-only").with(FILE, WORN).with(
        "pumps/a.pump.yaml",
        "pump: a\nkind: quay-piston\nserial: NO\n",
    );
    let path = folder.path(FILE);
    let mut permissions = fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).unwrap();
    let said = folder
        .run(&["check", ".", "--fix", "--format", "short"])
        .exits(2)
        .says("cannot write `./pumps/worn.pump-kind.yaml`: permission is denied");
    assert!(
        said.stdout.contains("decimal-comma"),
        "what is on the disk is still wrong: {}",
        said.stdout
    );
    assert_eq!(folder.read(FILE), WORN);
    assert!(folder.read("pumps/a.pump.yaml").contains("serial: \"NO\""));
}

#[cfg(unix)]
#[test]
fn links_stay_links_and_permissions_stay() {
    use std::os::unix::fs::{PermissionsExt as _, symlink};
    let folder = lab("fix-links").with("elsewhere/worn.yaml.txt", WORN);
    let target = folder.path("elsewhere/worn.yaml.txt");
    fs::set_permissions(&target, fs::Permissions::from_mode(0o604)).unwrap();
    symlink(&target, folder.path(FILE)).unwrap();
    folder.run(&["check", ".", "--fix"]).exits(0);
    assert!(
        fs::symlink_metadata(folder.path(FILE))
            .unwrap()
            .is_symlink()
    );
    assert_eq!(fs::read_to_string(&target).unwrap(), WORN_MENDED);
    assert_eq!(
        fs::metadata(&target).unwrap().permissions().mode() & 0o777,
        0o604
    );
}

#[test]
fn what_does_not_go_together_is_refused() {
    let folder = lab("fix-usage").with(FILE, WORN);
    let stdin = ["check", "-", "--stdin-filename", FILE, "--fix"];
    folder
        .run_with(&stdin, WORN.as_bytes())
        .exits(2)
        .says("standard input cannot be mended");
    let said = folder
        .run_with(&[&stdin[..], &["--dry-run"]].concat(), WORN.as_bytes())
        .exits(1);
    assert!(said.stdout.contains("+stroke: 0.1 L"), "{}", said.stdout);
    folder
        .run(&["check", ".", "--fix", "--dry-run", "--format", "json"])
        .exits(2);
    folder.run(&["check", ".", "--dry-run"]).exits(2);
    folder.run(&["check", ".", "--fix", "--watch"]).exits(2);
    assert_eq!(folder.read(FILE), WORN);
}

#[test]
fn only_the_files_that_are_named_are_mended() {
    let folder = lab("fix-named").with(FILE, WORN).with(
        "pumps/a.pump.yaml",
        "pump: a\nkind: quay-piston\nserial: NO\n",
    );
    folder
        .run(&["check", "pumps/a.pump.yaml", "--fix"])
        .exits(0);
    assert_eq!(folder.read(FILE), WORN);
    assert!(folder.read("pumps/a.pump.yaml").contains("serial: \"NO\""));
}

#[test]
fn text_that_a_number_sign_cuts_off_is_put_in_quotes() {
    let cut = "pump_kind: worn\nname: Worn pump #3  # the old one\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\naccept:\n  - {rule: not-verified, because: seen in hall #3}\n  - {rule: review-due, because: seen in hall #4}\n";
    let mended = "pump_kind: worn\nname: \"Worn pump #3\"  # the old one\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\naccept:\n  - {rule: not-verified, because: \"seen in hall #3\"}\n  - {rule: review-due, because: \"seen in hall #4\"}\n";
    let folder = lab("fix-cut").with(FILE, cut);
    folder.run(&["check", ".", "--fix"]).says("(3 findings)");
    assert_eq!(folder.read(FILE), mended);
    // What may be a comment without its space is for a person to decide on.
    let guess = cut.replace("#3", "#old").replace("#4", "#new");
    let folder = lab("fix-cut-guess").with(FILE, &guess);
    folder.run(&["check", ".", "--fix"]).exits(1);
    assert_eq!(folder.read(FILE), guess);
}
