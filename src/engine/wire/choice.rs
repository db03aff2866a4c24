//! The macro that describes a choice of groups; it is made of the parts of the other two.

/// One of several groups: see [the recipe](crate::wire).
#[macro_export]
macro_rules! cases {
    (
        $(#[doc = $about:expr])*
        $name:ident $(by $by:literal)? {$(
            $(#[doc = $case_doc:expr])*
            $word:literal $variant:ident
            $({$(
                $(#[doc = $doc:expr])*
                $field:ident: $type:ty = $need:ident $($key:literal)?
                $(as $kind:ident $(($argument:literal))?)?
                $(, $property:ident $($text:literal)? $($code:ident)?)*;
            )*})?
            $((
                $(#[doc = $one_doc:expr])*
                $one:ident: $one_type:ty = $one_need:ident $($one_key:literal)?
                $(as $one_kind:ident $(($one_argument:literal))?)?
                $(, $one_property:ident $($one_text:literal)? $($one_code:ident)?)*
            ))?
        ,)*}
    ) => {
        $(#[doc = $about])*
        #[derive(Debug, Clone, PartialEq, Eq)]
        pub enum $name {$(
            $(#[doc = $case_doc])*
            $variant $({$( $(#[doc = $doc])* $field: $type, )*})? $(($one_type))?,
        )*}

        impl $name {
            /// Its groups.
            pub fn cases() -> &'static $crate::wire::Cases {
                const BY: &[&str] = &[$($by)?];
                const OF: &[$crate::wire::Case] = &[$($crate::wire::Case {
                    word: $word,
                    table: $crate::wire_table!(
                        concat!(stringify!($name), ".", stringify!($variant));
                        $($(
                            $type = $need $($key)? $(as $kind $(($argument))?)?
                            $(, $property $($text)? $($code)?)*;
                        )*)?
                        $(
                            $one_type = $one_need $($one_key)?
                            $(as $one_kind $(($one_argument))?)?
                            $(, $one_property $($one_text)? $($one_code)?)*;
                        )?
                    ),
                }),*];
                const CASES: &$crate::wire::Cases = &$crate::wire::Cases {
                    name: stringify!($name),
                    // A list of one or none: a macro has no other way to say "perhaps".
                    by: BY.first().copied(),
                    of: OF,
                };
                CASES
            }

            /// Their help: the choice first, then a book for each group.
            pub const BOOKS: &'static [$crate::wire::Book] = &[
                $crate::wire::Book {
                    name: stringify!($name),
                    about: concat!($($about, "\n"),*),
                    entries: $crate::wire_entries!($([$($case_doc),*] $word;)*),
                },
                $($crate::wire::Book {
                    name: concat!(stringify!($name), ".", stringify!($variant)),
                    about: concat!($($case_doc, "\n"),*),
                    entries: $crate::wire_entries!(
                        $($([$($doc),*] $($key)? $(, $property $($text)? $($code)?)*;)*)?
                        $(
                            [$($one_doc),*] $($one_key)?
                            $(, $one_property $($one_text)? $($one_code)?)*;
                        )?
                    ),
                },)*
            ];
        }

        impl $crate::wire::Wire for $name {
            const LAYOUT: $crate::wire::Layout = $crate::wire::Layout::One;
            const KIND: $crate::wire::Kind = $crate::wire::Kind::OneOf(Self::cases);

            #[inline(never)]
            fn take(value: $crate::wire::Value) -> Option<Self> {
                let $crate::wire::Value::Case(word, fields) = value else { return None };
                let mut fields = $crate::wire::Taken::of(fields);
                Some(match word {
                    $($word => Self::$variant
                        $({$( $field: $crate::wire::Wire::take(fields.next())?, )*})?
                        $((<$one_type as $crate::wire::Wire>::take(fields.next())?))?,)*
                    // No table has another word, but the compiler cannot know that.
                    _ => return None,
                })
            }

            #[inline(never)]
            fn give(&self) -> $crate::wire::Value {
                match self {$(
                    Self::$variant $({$($field),*})? $(($one))? => {
                        $crate::wire::Value::Case($word, vec![
                            $($($crate::wire::Wire::give($field),)*)?
                            $($crate::wire::Wire::give($one),)?
                        ])
                    }
                )*}
            }
        }

        $crate::wire_serde!($name);
    };
}
