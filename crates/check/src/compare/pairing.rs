//! Pairing of the entries of two catalogs.

use std::collections::BTreeMap;

use stainbook_catalog::{Entry, WrittenEntry};

/// Entries that belong together, by their places in the two lists.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Pairs {
    /// In both.
    pub both: Vec<(usize, usize)>,
    /// In the first only.
    pub only_a: Vec<usize>,
    /// In the second only.
    pub only_b: Vec<usize>,
}

/// Pairs the entries of two folders that were typed in independently: of the same kind and file name, else of the same
/// short name, else sheets of the same leaflet (title and revision).
///
/// # Example
///
/// ```
/// use stainbook_catalog::{Book, SourceFile};
/// use stainbook_check::compare::pair;
///
/// let book = |path: &str| Book::read([SourceFile::new(path, "pump_kind: quay\nname: Quay\n")]).0;
/// let (kl, mt) = (book("kl/quay.pump-kind.yaml"), book("mt/quay.pump-kind.yaml"));
/// assert_eq!(pair(kl.entries(), mt.entries()).both, [(0, 0)]);
/// ```
pub fn pair(a: &[Entry], b: &[Entry]) -> Pairs {
    let mut pairs = Pairs {
        both: Vec::new(),
        only_a: (0..a.len()).collect(),
        only_b: (0..b.len()).collect(),
    };
    let names: [fn(&Entry) -> Option<String>; 3] = [
        |entry| Some(entry.stem.clone()),
        |entry| Some(entry.id().to_owned()),
        leaflet,
    ];
    for name in names {
        pairs.by(a, b, name);
    }
    pairs.both.sort_unstable();
    pairs
}

impl Pairs {
    fn by(&mut self, a: &[Entry], b: &[Entry], name: fn(&Entry) -> Option<String>) {
        let mut waiting: BTreeMap<_, Vec<usize>> = BTreeMap::new();
        for index in self.only_b.iter().rev() {
            if let Some((entry, name)) = b.get(*index).and_then(|e| Some((e, name(e)?))) {
                waiting.entry((entry.kind, name)).or_default().push(*index);
            }
        }
        let both = &mut self.both;
        self.only_a.retain(|index| {
            let found = a
                .get(*index)
                .and_then(|entry| waiting.get_mut(&(entry.kind, name(entry)?))?.pop());
            both.extend(found.map(|other| (*index, other)));
            found.is_none()
        });
        self.only_b
            .retain(|index| !both.iter().any(|(_, other)| other == index));
    }
}

fn leaflet(entry: &Entry) -> Option<String> {
    let WrittenEntry::Tube(tube) = &entry.written else {
        return None;
    };
    let leaflet = tube.leaflet.as_ref()?;
    Some(format!(
        "{}\n{}",
        leaflet.title.as_deref()?,
        leaflet.revision.as_deref()?
    ))
}
