use super::EmbeddedFile;

pub(super) static FILES: &[EmbeddedFile] = &[];
