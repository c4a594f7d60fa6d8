use super::EmbeddedFile;

pub(super) static FILES: &[EmbeddedFile] = &[];

pub(super) static NAMES: &[(&str, &str)] = &[];
