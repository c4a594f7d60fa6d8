//! Fields that nobody wrote are not written either.

/// Absence of anything to write: the schemas know no null, and an empty list would have to be filled.
pub(crate) trait Absent {
    fn is_absent(&self) -> bool;
}

impl<T> Absent for Option<T> {
    fn is_absent(&self) -> bool {
        self.is_none()
    }
}

impl<T> Absent for Vec<T> {
    fn is_absent(&self) -> bool {
        self.is_empty()
    }
}

impl<T: Absent> Absent for Box<T> {
    fn is_absent(&self) -> bool {
        T::is_absent(self)
    }
}

/// A group of fields as it is written in a file, with its schema: each may be absent, and none is unknown.
///
/// For `#[apply(written_form)]`, which gives every field of a struct the same attribute.
macro_rules! written_form {
    ($($group:tt)*) => {
        crate::written::absent::written_fields! { #[derive(schemars::JsonSchema)] $($group)* }
    };
}

/// The same for a group whose schema is written by hand.
macro_rules! written_fields {
    (
        $(#[$meta:meta])*
        pub struct $name:ident {
            $($(#[$field_meta:meta])* pub $field:ident: $type:ty,)*
        }
    ) => {
        #[derive(Clone, Debug, Default, PartialEq, serde::Serialize, serde::Deserialize)]
        #[serde(default, deny_unknown_fields)]
        $(#[$meta])*
        pub struct $name {
            $(
                $(#[$field_meta])*
                #[serde(skip_serializing_if = "crate::written::absent::Absent::is_absent")]
                pub $field: $type,
            )*
        }

        impl crate::written::absent::Absent for $name {
            fn is_absent(&self) -> bool {
                $(crate::written::absent::Absent::is_absent(&self.$field))&&*
            }
        }
    };
}

pub(crate) use {written_fields, written_form};
