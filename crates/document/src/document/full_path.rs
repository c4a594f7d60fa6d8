//! Reading by the general source of events alone.

use std::sync::OnceLock;

use super::builder::Builder;
use super::{Document, ReadOptions, decode};
use crate::finding::Finding;
use crate::place::FileId;

impl Document {
    /// Reads a file without the fast path, which [`read`](Self::read) tries first: the same comes of it several
    /// times slower. It is there to be compared with.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_document::{Document, ReadOptions};
    /// use stainbook_document::place::FileId;
    ///
    /// let (name, text) = ("blue.yaml", b"kettle: blue\nkind: tall\n");
    /// let (quick, _) = Document::read(FileId(0), name, text, &ReadOptions::default());
    /// let (slow, _) = Document::read_full(FileId(0), name, text, &ReadOptions::default());
    /// assert_eq!(quick.node_count(), slow.node_count());
    /// ```
    #[doc(hidden)]
    pub fn read_full(
        file: FileId,
        name: &str,
        bytes: &[u8],
        options: &ReadOptions,
    ) -> (Self, Vec<Finding>) {
        let mut findings = Vec::new();
        let (text, base) = decode::decode(file, bytes, &mut findings);
        let (mut document, _) = Self::read(file, name, b"", options);
        document.broken = false;
        document.reported.clear();
        let mut builder = Builder::new(&text, options);
        document.parse_full(&text, base, options, &mut builder, &mut findings);
        document.broken |= builder.halted;
        builder.finish();
        let Builder { tree, odd, .. } = builder;
        document.tree = OnceLock::from(tree);
        document.text = text;
        document.conclude(&odd, &mut findings);
        (document, findings)
    }
}
