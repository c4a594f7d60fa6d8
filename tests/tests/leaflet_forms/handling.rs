//! Time, tubes put together, storage, lots, and the figures that the paper offers for checking.

use crate::bench::{Changes, Checked, Evaluated, Form, Instruction};

const TIME: &str = "time";
const TOGETHER: &str = "tubes put together";
const STORAGE: &str = "storage, lots, expiry";
const CONTROLS: &str = "controls";
const STROKES: &str = "strokes and ranges";
const PRESENT: &str = "interferences";

const STROKES_READ: &str = "strokes: 2, reading:";
const LEAFLET: &str = "date: 2024-03, lots: from 24-100}";
const KINDS: &str = "  pump_kinds: [quay]\n";
const STAIN: &str = "  lowest_visible:";
const BOX: (&str, &str) = (KINDS, "  pump_kinds: [quay]\n  storage: {dark: true}\n");

/// A pre-tube in use, of which it is known that it was new.
const PRE_TUBE: Changes = &[
    (
        KINDS,
        "  pump_kinds: [quay]\n  pre_tube: {form: separate tube, does: dries}\n",
    ),
    (
        STROKES_READ,
        "strokes: 2, pre_tube: {lot: P-1, strokes_before: 4}, reading:",
    ),
];

pub(crate) const FORMS: &[Form] = &[
    Form {
        fact: TIME,
        on_paper: "read at once",
        held: "read, when",
        first: &[(STAIN, "  when: after a minute\n  lowest_visible:")],
        typed: ("when: after a minute", "when: at once"),
        seen: Instruction,
        shown: "read it at once",
    },
    Form {
        fact: TIME,
        on_paper: "within n minutes",
        held: "read, within",
        first: &[
            (STROKES_READ, "strokes: 2, read_after: 7 min, reading:"),
            (STAIN, "  within: 8 min\n  lowest_visible:"),
        ],
        typed: ("within: 8 min", "within: 5 min"),
        seen: Evaluated("time to read (read after 7 min; read within 5 min)"),
        shown: "read within 5 min of it",
    },
    Form {
        fact: TIME,
        on_paper: "colour fades after",
        held: "read, colour_fades_after",
        first: &[(STROKES_READ, "strokes: 2, read_after: 7 min, reading:")],
        typed: (STAIN, "  colour_fades_after: 5 min\n  lowest_visible:"),
        seen: Evaluated("read after 7 min; the colour fades after 5 min"),
        shown: "the colour fades after 5 min",
    },
    Form {
        fact: TIME,
        on_paper: "wait n minutes after the last stroke before reading",
        held: "read, wait",
        first: &[(STROKES_READ, "strokes: 2, read_after: 1 min, reading:")],
        typed: (STAIN, "  wait: 2 min\n  lowest_visible:"),
        seen: Evaluated("read after 1 min; wait 2 min"),
        shown: "wait 2 min after the last stroke",
    },
    Form {
        fact: TIME,
        on_paper: "a wait that is longer than the time to read",
        held: "read, wait",
        first: &[(STAIN, "  within: 5 min\n  lowest_visible:")],
        typed: ("  within: 5 min\n", "  wait: 6 min\n  within: 5 min\n"),
        seen: Checked("read-times-reversed", "wait"),
        shown: "wait 6 min after the last stroke",
    },
    Form {
        fact: STROKES,
        on_paper: "a hose or a first stroke to flush",
        held: "draw, flush",
        first: &[],
        typed: (
            "  stroke: 100 mL\n",
            "  stroke: 100 mL\n  flush: {strokes: 1, because: hose of 3 m}\n",
        ),
        seen: Evaluated("it is not recorded: flushed"),
        shown: "draw 1 that do not count (hose of 3 m); their time comes on top",
    },
    Form {
        fact: TOGETHER,
        on_paper: "pre-tube",
        held: "before_use, pre_tube",
        first: &[],
        typed: (
            KINDS,
            "  pump_kinds: [quay]\n  pre_tube: {form: separate tube, name: Tube D, does: dries}\n",
        ),
        seen: Evaluated("[pre-tube-missing]"),
        shown: "Tube D, a tube of its own, joined before this one: dries",
    },
    Form {
        fact: TOGETHER,
        on_paper: "two tubes with one result, in their order",
        held: "before_use, joined",
        first: &[],
        typed: (
            KINDS,
            "  pump_kinds: [quay]\n  joined: [oxidising tube O, measuring tube]\n",
        ),
        seen: Evaluated("it is not recorded: tubes joined"),
        shown: "from the inlet on: oxidising tube O, then measuring tube",
    },
    Form {
        fact: TOGETHER,
        on_paper: "an ampoule to break and when",
        held: "before_use, break_ampoule",
        first: &[],
        typed: (
            KINDS,
            "  pump_kinds: [quay]\n  break_ampoule: after drawing\n",
        ),
        seen: Evaluated("it is not recorded: ampoule broken"),
        shown: "break it after drawing",
    },
    Form {
        fact: TOGETHER,
        on_paper: "a drying layer that is spent after n strokes, earlier use counted",
        held: "before_use, pre_tube, spent_after",
        first: &[
            PRE_TUBE[0],
            PRE_TUBE[1],
            ("does: dries}", "does: dries, spent_after: 8}"),
        ],
        typed: ("spent_after: 8", "spent_after: 5"),
        seen: Evaluated("the pre-tube lasts for 5 strokes, and 6 strokes went through it"),
        shown: "spent after 5 strokes, earlier ones counted",
    },
    Form {
        fact: TOGETHER,
        on_paper: "fewer in damp air",
        held: "spent_after_in_damp",
        first: &[
            PRE_TUBE[0],
            PRE_TUBE[1],
            ("does: dries}", "does: dries, spent_after: 8}"),
        ],
        typed: (
            "spent_after: 8",
            "spent_after: 8, spent_after_in_damp: {strokes: 5, above: 40 %RH}",
        ),
        seen: Evaluated("lasts for 5 strokes in air so damp, and 6 strokes went through it"),
        shown: "above 40 %RH after 5",
    },
    Form {
        fact: TOGETHER,
        on_paper: "direction",
        held: "before_use, arrow",
        first: &[(
            KINDS,
            "  pump_kinds: [quay]\n  joined: [oxidising tube O, measuring tube]\n  arrow: toward the inlet\n",
        )],
        typed: ("toward the inlet", "toward the pump"),
        seen: Instruction,
        shown: "arrow toward the pump",
    },
    Form {
        fact: STORAGE,
        on_paper: "upright",
        held: "storage, upright",
        first: &[BOX],
        typed: ("{dark: true}", "{dark: true, upright: true}"),
        seen: Instruction,
        shown: "in the dark, upright",
    },
    Form {
        fact: STORAGE,
        on_paper: "until the date on the box",
        held: "storage, until_date_on_box",
        first: &[BOX],
        typed: ("{dark: true}", "{dark: true, until_date_on_box: true}"),
        seen: Instruction,
        shown: "keeps until the date on the box",
    },
    Form {
        fact: STORAGE,
        on_paper: "an opened tin keeps n days",
        held: "storage, opened_keeps",
        first: &[
            BOX,
            (STROKES_READ, "strokes: 2, opened: 2026-02-01, reading:"),
        ],
        typed: ("{dark: true}", "{dark: true, opened_keeps: 20 days}"),
        seen: Evaluated("an opened box keeps 20 days; it was opened 2026-02-01"),
        shown: "once opened 20 days",
    },
    Form {
        fact: STORAGE,
        on_paper: "a tube may be used again if it did not stain",
        held: "storage, reuse_if_no_stain",
        first: &[
            (
                KINDS,
                "  pump_kinds: [quay]\n  storage: {dark: true, reuse_if_no_stain: false}\n",
            ),
            (STROKES_READ, "strokes: 2, used_before: true, reading:"),
        ],
        typed: ("reuse_if_no_stain: false", "reuse_if_no_stain: true"),
        seen: Evaluated("10.3) ppm cannot tell 1 (read"),
        shown: "a tube without a stain may be used again",
    },
    Form {
        fact: STORAGE,
        on_paper: "lots from, of another pattern",
        held: "leaflet, lots",
        first: &[
            ("lots: from 24-100", "lots: from A0"),
            ("lot: 24-117", "lot: A1"),
        ],
        typed: ("lots: from A0", "lots: from 24-100"),
        seen: Evaluated("[lot-not-comparable]"),
        shown: "for lots from 24-100",
    },
    Form {
        fact: STORAGE,
        on_paper: "lots by date of manufacture",
        held: "leaflet, manufactured",
        first: &[
            (LEAFLET, "date: 2024-03}"),
            (STROKES_READ, "strokes: 2, manufactured: 2024-02, reading:"),
        ],
        typed: (
            "date: 2024-03}",
            "date: 2024-03, manufactured: from 2024-03}",
        ),
        seen: Evaluated("belongs to tubes made from 2024-03, and this one was made 2024-02"),
        shown: "for tubes made from 2024-03",
    },
    Form {
        fact: STORAGE,
        on_paper: "edition by printing date",
        held: "leaflet, revision",
        first: &[],
        typed: ("revision: '2'", "revision: printed 03/2024"),
        seen: Evaluated("revision printed 03/2024"),
        shown: "revision printed 03/2024",
    },
    Form {
        fact: STORAGE,
        on_paper: "errata, for some lots only",
        held: "leaflet, errata",
        first: &[],
        typed: (
            LEAFLET,
            "date: 2024-03, lots: from 24-100, errata: [{lots: 24-110 to 24-120, says: multiply by 1.1 above 30 °C}]}",
        ),
        seen: Evaluated("[erratum-for-lot]"),
        shown: "ERRATUM for lots 24-110 to 24-120: multiply by 1.1 above 30 °C",
    },
    Form {
        fact: PRESENT,
        on_paper: "needs oxygen, only in air",
        held: "usable, air",
        first: &[(
            "pressure: 101.3 kPa}}",
            "pressure: 101.3 kPa, atmosphere: inert gas}}",
        )],
        typed: (
            "humidity: 10 to 85 %RH}",
            "humidity: 10 to 85 %RH, air: only in air}",
        ),
        seen: Evaluated("the tube works in air only, and was used in an inert gas"),
        shown: "10 to 85 %RH, only in air",
    },
    Form {
        fact: CONTROLS,
        on_paper: "a printed factor ppm → mg/m³",
        held: "conversion",
        first: &[(
            "doubt:\n",
            "conversion: [{ppm: 1, is: 2.95 mg/m³, at: 20 °C}]\ndoubt:\n",
        )],
        typed: ("is: 2.95 mg/m³", "is: 2.75 mg/m³"),
        seen: Checked("conversion-differs", "2.75 mg/m³"),
        shown: "1 ppm is 2.75 mg/m³ at 20 °C",
    },
    Form {
        fact: CONTROLS,
        on_paper: "a printed worked example",
        held: "worked",
        first: &[(
            "doubt:\n",
            "worked: [{reading: 5 ppm, strokes: 2, gives: 5 ppm}]\ndoubt:\n",
        )],
        typed: ("gives: 5 ppm", "gives: 6 ppm"),
        seen: Checked("worked-example-differs", ""),
        shown: "5 ppm with 2 strokes gives 6 ppm",
    },
];
