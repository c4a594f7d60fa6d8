//! Made by `cargo xtask generate` from catalog/demo.

use super::{EmbeddedFile, cut};

/// Paths below the catalog, each with the length of its text.
#[rustfmt::skip]
pub(super) static FILES: [EmbeddedFile; 35] = cut([
    ("catalog.yaml", 445),
    ("groups/amines.group.yaml", 305),
    ("groups/nitrous-fumes.group.yaml", 303),
    ("groups/petrol-vapour.group.yaml", 279),
    ("plans/winter-round-2026-12-02.plan.yaml", 1021),
    ("pumps/harbour-piston.pump-kind.yaml", 383),
    ("pumps/pump-01.pump.yaml", 457),
    ("pumps/pump-02.pump.yaml", 475),
    ("pumps/pump-03.pump.yaml", 659),
    ("pumps/pump-04.pump.yaml", 440),
    ("pumps/pump-05.pump.yaml", 405),
    ("pumps/wharf-bellows.pump-kind.yaml", 425),
    ("stock/box-07.box.yaml", 218),
    ("stock/cold-store.boxes.yaml", 668),
    ("stock/locker.boxes.yaml", 1102),
    ("surveys/hatchery-2026-09-10.survey.csv", 1720),
    ("surveys/plant-round-2026-06-16.survey.yaml", 8057),
    ("surveys/shift-2026-06-17.survey.yaml", 4159),
    ("tubes/brinewash-chlorine-a-r1.tube.yaml", 2192),
    ("tubes/brinewash-chlorine-a-r2.tube.yaml", 3262),
    ("tubes/brinewash-chlorine-dioxide-v-r1.tube.yaml", 2178),
    ("tubes/container-methyl-bromide-h-r1.tube.yaml", 3903),
    ("tubes/container-phosphine-f-r1.tube.yaml", 2417),
    ("tubes/cratewash-hydrogen-peroxide-t-r1.tube.yaml", 2372),
    ("tubes/dip-sulfur-dioxide-g-r1.tube.yaml", 2872),
    ("tubes/hold-amines-e-r1.tube.yaml", 2459),
    ("tubes/packing-ozone-m-r1.tube.yaml", 2587),
    ("tubes/pit-hydrogen-sulfide-b-r1.tube.yaml", 2957),
    ("tubes/plantroom-ammonia-c-r1.tube.yaml", 2920),
    ("tubes/smokehouse-carbon-monoxide-d-r1.tube.yaml", 3386),
    ("tubes/smokehouse-formaldehyde-s-r1.tube.yaml", 2587),
    ("tubes/store-ethyl-acetate-k-r1.tube.yaml", 2806),
    ("tubes/tunnel-carbon-dioxide-p-r1.tube.yaml", 2112),
    ("tubes/workshop-nitrous-fumes-q-r1.tube.yaml", 3005),
    ("tubes/workshop-petrol-vapour-n-r1.tube.yaml", 2639),
], include_str!("demo.txt"));
