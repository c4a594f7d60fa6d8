//! The kinds of file in a catalog, told apart by their suffix.

/// A kind of file in a catalog.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EntryKind {
    /// `catalog.yaml`, at the root.
    Catalog,
    /// `*.source.yaml`.
    Source,
    /// `*.substance.yaml`.
    Substance,
    /// `*.group.yaml`.
    Group,
    /// `*.pump-kind.yaml`.
    PumpKind,
    /// `*.pump.yaml`.
    Pump,
    /// `*.tube.yaml`.
    Tube,
    /// `*.box.yaml`.
    StockBox,
    /// `*.boxes.yaml`.
    BoxList,
    /// `*.plan.yaml`.
    Plan,
    /// `*.survey.yaml`.
    Survey,
}

impl EntryKind {
    /// All kinds, in the order in which they build on each other.
    pub const ALL: [Self; 11] = [
        Self::Catalog,
        Self::Source,
        Self::Substance,
        Self::Group,
        Self::PumpKind,
        Self::Pump,
        Self::Tube,
        Self::StockBox,
        Self::BoxList,
        Self::Plan,
        Self::Survey,
    ];

    /// The kind's name, which is also the middle part of the file name: `tube` in `x.tube.yaml`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Catalog => "catalog",
            Self::Source => "source",
            Self::Substance => "substance",
            Self::Group => "group",
            Self::PumpKind => "pump-kind",
            Self::Pump => "pump",
            Self::Tube => "tube",
            Self::StockBox => "box",
            Self::BoxList => "boxes",
            Self::Plan => "plan",
            Self::Survey => "survey",
        }
    }

    /// The key that holds the entry's own short name.
    pub fn id_key(self) -> &'static str {
        match self {
            Self::PumpKind => "pump_kind",
            other => other.name(),
        }
    }

    /// The kind and the stem of a file name, or `None` for a file that is no part of a catalog.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_catalog::EntryKind;
    /// assert_eq!(EntryKind::of_file("tubes/quay-co.tube.yaml"), Some((EntryKind::Tube, "quay-co")));
    /// assert_eq!(EntryKind::of_file("catalog.yaml"), Some((EntryKind::Catalog, "catalog")));
    /// assert_eq!(EntryKind::of_file("notes.yaml"), None);
    /// ```
    pub fn of_file(path: &str) -> Option<(Self, &str)> {
        let name = path.rsplit(['/', '\\']).next().unwrap_or(path);
        let stem = name
            .strip_suffix(".yaml")
            .or_else(|| name.strip_suffix(".yml"))?;
        if stem == "catalog" {
            return Some((Self::Catalog, stem));
        }
        let (stem, suffix) = stem.rsplit_once('.')?;
        let kind = Self::ALL
            .into_iter()
            .skip(1)
            .find(|kind| kind.name() == suffix)?;
        Some((kind, stem))
    }

    /// The name that would tell the kind, for a file whose name does so but for its capital letters. No file is read under a
    /// name that others, and other systems, would not find it by.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_catalog::EntryKind;
    /// assert_eq!(EntryKind::name_in_small_letters("pumps/X.PUMP.YAML").as_deref(), Some("X.pump.yaml"));
    /// assert_eq!(EntryKind::name_in_small_letters("pumps/X.pump.yaml"), None);
    /// assert_eq!(EntryKind::name_in_small_letters("NOTES.YAML"), None);
    /// ```
    pub fn name_in_small_letters(path: &str) -> Option<String> {
        if Self::of_file(path).is_some() {
            return None;
        }
        let name = path.rsplit(['/', '\\']).next().unwrap_or(path);
        let small = name.to_ascii_lowercase();
        let (kind, stem) = Self::of_file(&small)?;
        if kind == Self::Catalog {
            return Some(small);
        }
        // Whether the short name itself is in small letters is for its own rule to say.
        let kept = name.get(..stem.len())?;
        let end = small.get(stem.len()..)?;
        Some(format!("{kept}{end}"))
    }
}
