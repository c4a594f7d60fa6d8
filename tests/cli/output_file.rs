//! Files that commands write: one way for all of them. What a name leads to is kept as it is (a device, a link, its mode and
//! its owner), and what is there is there whole.

use std::fs;

use crate::runner::{CommandOutcome, Folder, repository};

const SURVEY: &str = "catalog/demo/surveys/hatchery-2026-09-10.survey.csv";

/// Two formats that are written row by row, and two that are written as a whole.
const FORMATS: [&str; 4] = ["jsonl", "csv", "json", "xlsx"];

fn evaluate(folder: &Folder, format: &str, output: &str) -> CommandOutcome {
    let survey = repository(SURVEY);
    folder.run(&["evaluate", &survey, "-q", "--format", format, "-o", output])
}

/// What lies in the folder, hidden files included, in alphabetical order.
fn names(folder: &Folder) -> Vec<String> {
    let entries = fs::read_dir(folder.root()).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn what_is_written_replaces_what_was_there_whole() {
    let folder = Folder::new("output-replaced");
    for format in FORMATS {
        evaluate(&folder, format, "new").exits(0);
        let new = folder.bytes("new");
        assert!(!new.is_empty(), "{format}");
        fs::write(folder.path("old"), "old\n".repeat(100_000)).unwrap();
        evaluate(&folder, format, "old").exits(0);
        // A spreadsheet says when it was made.
        assert!(
            folder.bytes("old") == new || format == "xlsx",
            "{format}: nothing of the old content is left"
        );
        assert_eq!(names(&folder), ["new", "old"], "{format}");
        fs::remove_file(folder.path("new")).unwrap();
    }
}

#[test]
fn a_folder_is_no_file_and_nothing_is_made_on_the_way() {
    let folder = Folder::new("output-folder").with("folder/x", "");
    for format in FORMATS {
        evaluate(&folder, format, "folder")
            .exits(2)
            .says("cannot write `folder`: it is a folder");
        evaluate(&folder, format, "no/such/x")
            .exits(2)
            .says("cannot write `no/such/x`: there is no such folder");
        assert_eq!(names(&folder), ["folder"], "{format}");
    }
}

#[test]
fn what_is_not_to_be_written_is_left() {
    let folder = Folder::new("output-readonly").with("kept", "kept");
    let mut permissions = fs::metadata(folder.path("kept")).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(folder.path("kept"), permissions).unwrap();
    for format in FORMATS {
        evaluate(&folder, format, "kept")
            .exits(2)
            .says("cannot write `kept`: permission is denied");
        assert_eq!(folder.read("kept"), "kept", "{format}");
    }
    assert_eq!(names(&folder), ["kept"]);
}

#[cfg(unix)]
mod unix {
    use std::io::{Read as _, Write as _};
    use std::os::unix::fs::{FileTypeExt as _, MetadataExt as _, PermissionsExt as _, symlink};
    use std::process::{Command, Stdio};

    use super::*;

    fn mode(folder: &Folder, name: &str) -> u32 {
        let permissions = fs::metadata(folder.path(name)).unwrap().permissions();
        permissions.mode() & 0o7777
    }

    #[test]
    fn links_stay_and_what_they_lead_to_is_replaced() {
        let folder = Folder::new("output-links").with("below/results", "old");
        symlink("below/results", folder.path("link")).unwrap();
        symlink("link", folder.path("link-to-link")).unwrap();
        symlink("below/new", folder.path("dangling")).unwrap();
        for format in FORMATS {
            fs::write(folder.path("below/results"), "old").unwrap();
            let _ = fs::remove_file(folder.path("below/new"));
            evaluate(&folder, format, "link-to-link").exits(0);
            evaluate(&folder, format, "dangling").exits(0);
            for link in ["link", "link-to-link", "dangling"] {
                let found = fs::symlink_metadata(folder.path(link)).unwrap();
                assert!(found.is_symlink(), "{format}: {link}");
            }
            for written in ["below/results", "below/new"] {
                assert_ne!(folder.bytes(written), b"old", "{format}: {written}");
            }
            assert_eq!(fs::read_dir(folder.path("below")).unwrap().count(), 2);
        }
        symlink("circle", folder.path("circle")).unwrap();
        evaluate(&folder, "csv", "circle")
            .exits(2)
            .says("cannot write `circle`: its links lead in a circle");
    }

    #[test]
    fn the_mode_stays_and_a_new_file_has_the_usual_one() {
        let folder = Folder::new("output-mode");
        fs::write(folder.path("usual"), "").unwrap();
        let usual = mode(&folder, "usual");
        for format in FORMATS {
            for kept in [0o664, 0o640, 0o600] {
                fs::write(folder.path("old"), "").unwrap();
                fs::set_permissions(folder.path("old"), fs::Permissions::from_mode(kept)).unwrap();
                evaluate(&folder, format, "old").exits(0);
                assert_eq!(mode(&folder, "old"), kept, "{format}");
            }
            let _ = fs::remove_file(folder.path("new"));
            evaluate(&folder, format, "new").exits(0);
            assert_eq!(mode(&folder, "new"), usual, "{format}");
        }
        // The same for what the other commands write.
        folder.run(&["new", "catalog", "quay"]).exits(0);
        folder.run(&["schema", "--all", "schemas"]).exits(0);
        folder.run(&["check", "--write-baseline", "b.yaml"]);
        for name in ["catalog.yaml", "schemas/tube.schema.json", "b.yaml"] {
            assert_eq!(mode(&folder, name), usual, "{name}");
        }
    }

    #[test]
    fn the_owner_stays_where_that_is_allowed() {
        let folder = Folder::new("output-owner");
        fs::write(folder.path("old"), "").unwrap();
        let own = fs::metadata(folder.path("old")).unwrap();
        if std::os::unix::fs::chown(folder.path("old"), Some(12_345), Some(12_345)).is_err() {
            // Whoever may not give a file away has none of somebody else's to keep; the mode is looked at above.
            evaluate(&folder, "csv", "old").exits(0);
            assert_eq!(fs::metadata(folder.path("old")).unwrap().uid(), own.uid());
            return;
        }
        fs::set_permissions(folder.path("old"), fs::Permissions::from_mode(0o640)).unwrap();
        for format in FORMATS {
            evaluate(&folder, format, "old").exits(0);
            let now = fs::metadata(folder.path("old")).unwrap();
            assert_eq!((now.uid(), now.gid()), (12_345, 12_345), "{format}");
            assert_eq!(mode(&folder, "old"), 0o640, "{format}");
        }
    }

    /// A FIFO that can be read and written without waiting for anybody.
    fn fifo(folder: &Folder, name: &str) -> fs::File {
        let path = folder.path(name);
        assert!(
            Command::new("mkfifo")
                .arg(&path)
                .status()
                .unwrap()
                .success()
        );
        fs::OpenOptions::new()
            .read(true)
            .write(true)
            .open(path)
            .unwrap()
    }

    #[test]
    fn a_fifo_is_written_into_and_stays() {
        let folder = Folder::new("output-fifo");
        for format in ["jsonl", "csv", "json"] {
            let survey = repository(SURVEY);
            let expected = folder
                .run(&["evaluate", &survey, "-q", "--format", format])
                .exits(0)
                .stdout;
            let mut pipe = fifo(&folder, "fifo");
            let mut reader = pipe.try_clone().unwrap();
            let mut got = vec![0; expected.len() + 3];
            let got = std::thread::scope(|scope| {
                // A pipe holds little: who writes waits for who reads.
                let read = scope.spawn(move || reader.read_exact(&mut got).map(|()| got));
                let said = evaluate(&folder, format, "fifo");
                // Whatever came, the reader ends.
                while !read.is_finished() {
                    pipe.write_all(b"!").unwrap();
                    std::thread::yield_now();
                }
                said.exits(0);
                read.join().unwrap().unwrap()
            });
            assert_eq!(
                String::from_utf8(got).unwrap(),
                expected + "!!!",
                "{format}"
            );
            let kind = fs::symlink_metadata(folder.path("fifo"))
                .unwrap()
                .file_type();
            assert!(kind.is_fifo(), "{format}");
            assert_eq!(names(&folder), ["fifo"]);
            fs::remove_file(folder.path("fifo")).unwrap();
        }
    }

    #[test]
    fn a_device_is_written_to_and_stays() {
        let folder = Folder::new("output-device");
        symlink("/dev/null", folder.path("nothing")).unwrap();
        symlink("/dev/full", folder.path("full")).unwrap();
        let made = |name: &str, minor: &str| {
            let mut mknod = Command::new("mknod");
            let mknod = mknod.arg(folder.path(name)).args(["c", "1", minor]);
            mknod
                .stderr(Stdio::null())
                .status()
                .is_ok_and(|end| end.success())
        };
        // Only root may make a device; everybody has the two links.
        let own = made("own-nothing", "3") && made("own-full", "7");
        let before = names(&folder);
        for format in FORMATS {
            evaluate(&folder, format, "nothing").exits(0);
            evaluate(&folder, format, "full")
                .exits(2)
                .says("cannot write `full`: the disk is full");
            if own {
                evaluate(&folder, format, "own-nothing").exits(0);
                evaluate(&folder, format, "own-full").exits(2);
            }
        }
        folder.run(&["check", "--write-baseline", "nothing"]);
        assert_eq!(names(&folder), before);
        for name in before {
            let is_link = fs::symlink_metadata(folder.path(&name))
                .unwrap()
                .is_symlink();
            assert_eq!(is_link, !name.starts_with("own-"), "{name}");
            let kind = fs::metadata(folder.path(&name)).unwrap().file_type();
            assert!(kind.is_char_device(), "{name}");
        }
    }

    #[test]
    fn standard_output_by_its_name_is_standard_output() {
        let folder = Folder::new("output-stdout");
        symlink("/proc/self/fd/1", folder.path("out")).unwrap();
        if fs::metadata("/proc/self/fd/1").is_err() {
            // A system that has no such names has nothing to look at here.
            assert!(evaluate(&folder, "csv", "out").code == Some(2));
            return;
        }
        for format in ["jsonl", "csv", "json"] {
            let survey = repository(SURVEY);
            let expected = folder.run(&["evaluate", &survey, "-q", "--format", format]);
            let said = evaluate(&folder, format, "out").exits(0);
            assert_eq!(said.stdout, expected.stdout, "{format}");
            // What is redirected to a file goes behind what that file holds.
            let mut kept = fs::File::create(folder.path("kept")).unwrap();
            kept.write_all(b"kept\n").unwrap();
            let end = Command::new(env!("CARGO_BIN_EXE_stainbook"))
                .args(["evaluate", &survey, "-q", "--format", format, "-o", "out"])
                .current_dir(folder.root())
                .stdout(kept)
                .status()
                .unwrap();
            assert!(end.success());
            let got = folder.read("kept");
            assert_eq!(
                got.strip_prefix("kept\n"),
                Some(&*expected.stdout),
                "{format}"
            );
        }
        let out = fs::symlink_metadata(folder.path("out")).unwrap();
        assert!(out.is_symlink());
    }
}
