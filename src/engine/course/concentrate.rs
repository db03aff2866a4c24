//! Foam concentrates as their labels describe them.

use crate::quantity::Quantity;
use crate::wire::Book;
use crate::{record, words};

words! {
    /// Class of fire a concentrate is made for.
    FoamClass {
        /// Ordinary combustibles.
        "A" A,
        /// Flammable liquids.
        "B" B,
    }
}

record! {
    /// Percents the label allows for one fuel or use.
    Allowed {
        /// Fuel or use, such as hydrocarbon fuel or mop-up.
        fuel: String = need "fuel", eg "hydrocarbon fuel";
        /// Least percent.
        from: Quantity = need "from" as PERCENT, eg "1 %";
        /// Largest percent; the least once more where the label names one value.
        to: Quantity = need "to" as PERCENT, eg "1 %";
    }
}

record! {
    /// A size it is delivered in.
    Container {
        /// What it is called: pail, drum, tote.
        name: String = need "container", eg "pail";
        /// Volume of contents.
        holds: Quantity = need "holds" as CONTENTS, eg "5 gal";
        /// Empty weight, when known.
        tare: Option<Quantity> = may "tare" as MASS, eg "2.5 lb";
    }
}

record! {
    /// One product.
    Concentrate {
        /// Short name; the file has it too.
        id: String = need "concentrate" as own("concentrate"), eg "training-foam";
        /// Name on the label, invented in an invented module.
        title: String = need "title", prose, eg "Training foam";
        /// Class of fire it is made for.
        class: FoamClass = need "class", eg "A";
        /// Allowed percents, by fuel or use.
        allowed: Vec<Allowed> = need "allowed";
        /// Density, from the label or its data sheet.
        density: Quantity = need "density" as DENSITY, eg "8.5 lb/gal";
        /// Sizes it comes in.
        containers: Vec<Container> = need "containers";
        /// Whether it is made without fluorinated surfactants.
        fluorine_free: bool = need "fluorine-free", eg "yes";
        /// Whether it is made for training only.
        training: bool = need "training", eg "yes";
        /// What the label warns of, in a sentence.
        label_says: Option<String> = may "label-says", prose, eg "Irritates the eyes.";
    }
}

/// Help of all that a concentrate's file holds.
pub(super) const BOOKS: &[Book] =
    &[Concentrate::BOOK, FoamClass::BOOK, Allowed::BOOK, Container::BOOK];
