//! Made by `cargo xtask generate` from catalog/demo.

use super::EmbeddedFile;

#[rustfmt::skip]
pub(super) static FILES: &[EmbeddedFile] = &[
    EmbeddedFile { path: "catalog.yaml", text: include_str!("../../../../catalog/demo/catalog.yaml") },
    EmbeddedFile { path: "groups/amines.group.yaml", text: include_str!("../../../../catalog/demo/groups/amines.group.yaml") },
    EmbeddedFile { path: "groups/nitrous-fumes.group.yaml", text: include_str!("../../../../catalog/demo/groups/nitrous-fumes.group.yaml") },
    EmbeddedFile { path: "groups/petrol-vapour.group.yaml", text: include_str!("../../../../catalog/demo/groups/petrol-vapour.group.yaml") },
    EmbeddedFile { path: "pumps/harbour-piston.pump-kind.yaml", text: include_str!("../../../../catalog/demo/pumps/harbour-piston.pump-kind.yaml") },
    EmbeddedFile { path: "pumps/pump-01.pump.yaml", text: include_str!("../../../../catalog/demo/pumps/pump-01.pump.yaml") },
    EmbeddedFile { path: "pumps/pump-02.pump.yaml", text: include_str!("../../../../catalog/demo/pumps/pump-02.pump.yaml") },
    EmbeddedFile { path: "pumps/pump-03.pump.yaml", text: include_str!("../../../../catalog/demo/pumps/pump-03.pump.yaml") },
    EmbeddedFile { path: "pumps/pump-04.pump.yaml", text: include_str!("../../../../catalog/demo/pumps/pump-04.pump.yaml") },
    EmbeddedFile { path: "pumps/pump-05.pump.yaml", text: include_str!("../../../../catalog/demo/pumps/pump-05.pump.yaml") },
    EmbeddedFile { path: "pumps/wharf-bellows.pump-kind.yaml", text: include_str!("../../../../catalog/demo/pumps/wharf-bellows.pump-kind.yaml") },
    EmbeddedFile { path: "surveys/hatchery-2026-09-10.survey.csv", text: include_str!("../../../../catalog/demo/surveys/hatchery-2026-09-10.survey.csv") },
    EmbeddedFile { path: "surveys/plant-round-2026-06-16.survey.yaml", text: include_str!("../../../../catalog/demo/surveys/plant-round-2026-06-16.survey.yaml") },
    EmbeddedFile { path: "surveys/shift-2026-06-17.survey.yaml", text: include_str!("../../../../catalog/demo/surveys/shift-2026-06-17.survey.yaml") },
    EmbeddedFile { path: "tubes/brinewash-chlorine-a-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/brinewash-chlorine-a-r1.tube.yaml") },
    EmbeddedFile { path: "tubes/brinewash-chlorine-a-r2.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/brinewash-chlorine-a-r2.tube.yaml") },
    EmbeddedFile { path: "tubes/brinewash-chlorine-dioxide-v-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/brinewash-chlorine-dioxide-v-r1.tube.yaml") },
    EmbeddedFile { path: "tubes/container-methyl-bromide-h-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/container-methyl-bromide-h-r1.tube.yaml") },
    EmbeddedFile { path: "tubes/container-phosphine-f-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/container-phosphine-f-r1.tube.yaml") },
    EmbeddedFile { path: "tubes/cratewash-hydrogen-peroxide-t-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/cratewash-hydrogen-peroxide-t-r1.tube.yaml") },
    EmbeddedFile { path: "tubes/dip-sulfur-dioxide-g-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/dip-sulfur-dioxide-g-r1.tube.yaml") },
    EmbeddedFile { path: "tubes/hold-amines-e-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/hold-amines-e-r1.tube.yaml") },
    EmbeddedFile { path: "tubes/packing-ozone-m-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/packing-ozone-m-r1.tube.yaml") },
    EmbeddedFile { path: "tubes/pit-hydrogen-sulfide-b-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/pit-hydrogen-sulfide-b-r1.tube.yaml") },
    EmbeddedFile { path: "tubes/plantroom-ammonia-c-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/plantroom-ammonia-c-r1.tube.yaml") },
    EmbeddedFile { path: "tubes/smokehouse-carbon-monoxide-d-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/smokehouse-carbon-monoxide-d-r1.tube.yaml") },
    EmbeddedFile { path: "tubes/smokehouse-formaldehyde-s-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/smokehouse-formaldehyde-s-r1.tube.yaml") },
    EmbeddedFile { path: "tubes/store-ethyl-acetate-k-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/store-ethyl-acetate-k-r1.tube.yaml") },
    EmbeddedFile { path: "tubes/tunnel-carbon-dioxide-p-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/tunnel-carbon-dioxide-p-r1.tube.yaml") },
    EmbeddedFile { path: "tubes/workshop-nitrous-fumes-q-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/workshop-nitrous-fumes-q-r1.tube.yaml") },
    EmbeddedFile { path: "tubes/workshop-petrol-vapour-n-r1.tube.yaml", text: include_str!("../../../../catalog/demo/tubes/workshop-petrol-vapour-n-r1.tube.yaml") },
];
