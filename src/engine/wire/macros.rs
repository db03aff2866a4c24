//! The macros that describe a thing; the third, for a choice of groups, stands in `choice.rs`.
//! What they make is a plain type, a constant table, a book of help, and the way between type
//! and value; all the rest is ordinary functions.

/// One property of a field.
#[doc(hidden)]
#[macro_export]
macro_rules! wire_property {
    ($field:ident, or $text:literal) => {
        $crate::wire::Field { or: Some($text), ..$field }
    };
    ($field:ident, else $code:ident) => {
        $crate::wire::Field { lacking: Some($crate::findings::Code::$code), ..$field }
    };
    ($field:ident, least $at:literal $code:ident) => {
        $crate::wire::Field {
            least: Some($crate::wire::Bound {
                at: $at,
                code: $crate::findings::Code::$code,
            }),
            ..$field
        }
    };
    ($field:ident, most $at:literal $code:ident) => {
        $crate::wire::Field {
            most: Some($crate::wire::Bound {
                at: $at,
                code: $crate::findings::Code::$code,
            }),
            ..$field
        }
    };
    ($field:ident, nothing $text:literal) => {
        $crate::wire::Field { nothing: Some($text), ..$field }
    };
    ($field:ident, like $key:literal) => {
        $crate::wire::Field { like: Some($key), ..$field }
    };
    ($field:ident, since $format:literal) => {
        $crate::wire::Field { since: $format, ..$field }
    };
    ($field:ident, prose) => {
        $crate::wire::Field { prose: true, ..$field }
    };
    // An example is the book's, so that an engine which prints no help goes without.
    ($field:ident, eg $text:literal) => {
        $field
    };
}

/// What of a property belongs into the book.
#[doc(hidden)]
#[macro_export]
macro_rules! wire_example {
    ($entry:ident, eg $text:literal) => {
        $crate::wire::Entry { eg: Some($text), ..$entry }
    };
    ($entry:ident, $($other:tt)*) => {
        $entry
    };
}

/// Whether a field may be left out.
#[doc(hidden)]
#[macro_export]
macro_rules! wire_need {
    (need) => {
        $crate::wire::Need::Must
    };
    (may) => {
        $crate::wire::Need::May
    };
    (flat) => {
        $crate::wire::Need::Flat
    };
    (carried) => {
        $crate::wire::Need::Carried
    };
}

/// What a field is: what its line says, else what its type is.
#[doc(hidden)]
#[macro_export]
macro_rules! wire_kind {
    ($type:ty) => {
        <$type as $crate::wire::Wire>::KIND
    };
    ($type:ty, $kind:ident $($argument:literal)?) => {
        $crate::wire::kind::$kind $(($argument))?
    };
}

/// A table of fields with its name.
#[doc(hidden)]
#[macro_export]
macro_rules! wire_table {
    ($name:expr; $(
        $type:ty = $need:ident $($key:literal)? $(as $kind:ident $(($argument:literal))?)?
        $(, $property:ident $($text:literal)? $($code:ident)?)*;
    )*) => {{
        const FIELDS: &[$crate::wire::Field] = &[$({
            let field = $crate::wire::Field::new(
                concat!($($key)?),
                $crate::wire_need!($need),
                <$type as $crate::wire::Wire>::LAYOUT,
                $crate::wire_kind!($type $(, $kind $($argument)?)?),
            );
            $(let field = $crate::wire_property!(field, $property $($text)? $($code)?);)*
            field
        }),*];
        const TABLE: &$crate::wire::Table =
            &$crate::wire::Table { name: $name, fields: FIELDS };
        TABLE
    }};
}

/// The entries of a book.
#[doc(hidden)]
#[macro_export]
macro_rules! wire_entries {
    ($(
        [$($doc:expr),*] $($key:literal)?
        $(, $property:ident $($text:literal)? $($code:ident)?)*;
    )*) => {{
        const ENTRIES: &[$crate::wire::Entry] = &[$({
            let entry = $crate::wire::Entry::new(concat!($($key)?), concat!($($doc, "\n"),*));
            $(let entry = $crate::wire_example!(entry, $property $($text)? $($code)?);)*
            entry
        }),*];
        ENTRIES
    }};
}

/// `serde` for what is a part of things that it writes.
#[doc(hidden)]
#[macro_export]
macro_rules! wire_serde {
    ($name:ident) => {
        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                $crate::wire::serialize(self, to)
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(
                from: D,
            ) -> Result<Self, D::Error> {
                $crate::wire::deserialize(from)
            }
        }
    };
}

/// A thing with fields: see [the recipe](crate::wire).
#[macro_export]
macro_rules! record {
    (
        $(#[doc = $about:expr])*
        $name:ident {$(
            $(#[doc = $doc:expr])*
            $field:ident: $type:ty = $need:ident $($key:literal)?
            $(as $kind:ident $(($argument:literal))?)?
            $(, $property:ident $($text:literal)? $($code:ident)?)*;
        )*}
    ) => {
        $(#[doc = $about])*
        #[derive(Debug, PartialEq, Eq)]
        pub struct $name {$(
            $(#[doc = $doc])*
            pub $field: $type,
        )*}

        impl Clone for $name {
            // Else it is written out in whatever holds such a thing.
            #[inline(never)]
            fn clone(&self) -> Self {
                Self {$( $field: Clone::clone(&self.$field), )*}
            }
        }

        impl $name {
            /// Its fields.
            pub fn table() -> &'static $crate::wire::Table {
                $crate::wire_table!(stringify!($name); $(
                    $type = $need $($key)? $(as $kind $(($argument))?)?
                    $(, $property $($text)? $($code)?)*;
                )*)
            }

            /// Their help.
            pub const BOOK: $crate::wire::Book = $crate::wire::Book {
                name: stringify!($name),
                about: concat!($($about, "\n"),*),
                entries: $crate::wire_entries!($(
                    [$($doc),*] $($key)? $(, $property $($text)? $($code)?)*;
                )*),
            };
        }

        impl $crate::wire::Wire for $name {
            const LAYOUT: $crate::wire::Layout = $crate::wire::Layout::One;
            const KIND: $crate::wire::Kind = $crate::wire::Kind::Group(Self::table);

            #[inline(never)]
            fn take(value: $crate::wire::Value) -> Option<Self> {
                let $crate::wire::Value::Group(fields) = value else { return None };
                let mut fields = $crate::wire::Taken::of(fields);
                Some(Self {$(
                    $field: $crate::wire::Wire::take(fields.next())?,
                )*})
            }

            #[inline(never)]
            fn give(&self) -> $crate::wire::Value {
                $crate::wire::Value::Group(vec![$($crate::wire::Wire::give(&self.$field)),*])
            }
        }

        $crate::wire_serde!($name);
    };
}

/// A closed list of words: see [the recipe](crate::wire).
#[macro_export]
macro_rules! words {
    (
        $(#[doc = $about:expr])*
        $name:ident {$( $(#[doc = $doc:expr])* $word:literal $variant:ident, )*}
    ) => {
        $(#[doc = $about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum $name {$(
            $(#[doc = $doc])*
            $variant,
        )*}

        impl $name {
            /// All of them with their words, in the order in which they are told.
            pub const ALL: &'static [(&'static str, Self)] = &[$(($word, Self::$variant)),*];

            /// Their help.
            pub const BOOK: $crate::wire::Book = $crate::wire::Book {
                name: stringify!($name),
                about: concat!($($about, "\n"),*),
                entries: $crate::wire_entries!($([$($doc),*] $word;)*),
            };

            const WORDS: &'static $crate::wire::WordList = &$crate::wire::WordList {
                name: stringify!($name),
                words: &[$($word),*],
            };

            /// As files have it.
            pub const fn word(self) -> &'static str {
                match self {$(
                    Self::$variant => $word,
                )*}
            }

            /// As a key of the words file: the word with hyphens for its blanks.
            pub fn key(self) -> String {
                self.word().replace(' ', "-")
            }
        }

        impl $crate::wire::Wire for $name {
            const LAYOUT: $crate::wire::Layout = $crate::wire::Layout::One;
            const KIND: $crate::wire::Kind = $crate::wire::Kind::Word(Self::WORDS);

            fn take(value: $crate::wire::Value) -> Option<Self> {
                let $crate::wire::Value::Text(text) = value else { return None };
                $crate::wire::MapKey::of_text(text)
            }

            fn give(&self) -> $crate::wire::Value {
                $crate::wire::Value::Text(self.word().to_owned())
            }
        }

        impl $crate::wire::MapKey for $name {
            const LAYOUT: $crate::wire::Layout = $crate::wire::Layout::MapOf(Self::WORDS);

            fn of_text(text: String) -> Option<Self> {
                match text.as_str() {
                    $($word => Some(Self::$variant),)*
                    _ => None,
                }
            }

            fn text(&self) -> String {
                self.word().to_owned()
            }
        }

        /// Beside tables, a word is written as a key: `not-done`.
        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.serialize_str(&self.key())
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                let text = <String as serde::Deserialize>::deserialize(from)?;
                // By going through all of them: a second list of keys
                // could differ from the words.
                let known = Self::ALL.iter().find(|(_, known)| known.key() == text);
                known.map(|(_, known)| *known).ok_or_else(|| serde::de::Error::custom(text))
            }
        }
    };
}
