//! Foam concentrates as their labels describe them.

use crate::quantity::{Day, Quantity};
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
        // By fuel: what holds on one fuel is too thin on another.
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
        /// What it is called, such as drum or tote.
        name: String = need "container", eg "drum";
        /// Volume of contents.
        holds: Quantity = need "holds" as CONTENTS, eg "5 gal";
        /// Empty weight, when known.
        tare: Option<Quantity> = may "tare" as MASS, eg "2.5 lb";
    }
}

words! {
    /// What is known of fluorine in a product.
    Fluorine {
        /// The maker states that none is added.
        "none-added" NoneAdded,
        /// Some is added.
        "added" Added,
        /// Nobody has looked, or the papers do not say.
        "not-known" NotKnown,
    }
}

words! {
    /// What the nozzle does with the solution.
    NozzleWay {
        /// It draws air and makes foam.
        "aspirated" Aspirated,
        /// It throws the solution as it is.
        "not-aspirated" NotAspirated,
    }
}

record! {
    /// What a listing asks for on one fuel with one sort of nozzle. Without it no start is told: no table of other products steps in.
    Listing {
        /// Fuel, as in the percents that the label allows.
        fuel: String = need "fuel", eg "hydrocarbon fuel";
        /// The sort of nozzle.
        nozzle: NozzleWay = need "nozzle", eg "aspirated";
        /// Least application rate.
        // No factor of ours stands in for it: in one series of fire tests
        // five fluorine-free foams needed 1.5 to 3 times the rate of a
        // film-forming one, by fuel and product.
        rate: Quantity = need "rate", eg "0.16 gpm/ft2";
        /// Least time.
        minutes: Quantity = need "minutes" as LIMIT, eg "15 min";
        /// The listing that says so.
        listing: String = need "listing", eg "listing of the maker (invented)";
        /// Its day.
        on: String = need "on" as DAY, eg "2026-02-01";
    }
}

record! {
    /// A sheet or label that was looked at.
    SeenPaper {
        /// Number, photo or file.
        id: String = need "named", prose, eg "sheet 4711 (invented)";
        /// Its day.
        on: String = need "on" as DAY, prose, eg "2026-02-01";
    }
}

record! {
    /// Where it was read that no fluorine is added.
    Evidence {
        /// Label, safety data sheet or laboratory.
        by: String = need "by", prose, eg "safety data sheet 2026-03 (invented)";
        /// Day on which it was read.
        on: String = need "on" as DAY, prose, eg "2026-09-01";
        /// Who read it.
        reader: String = need "read-by", prose, eg "Shop officer (invented)";
    }
}

record! {
    /// Permission to discharge it for training. It never overrides the law.
    Permitted {
        /// Named person or office.
        by: String = need "by", eg "Training officer (invented)";
        /// The order that says so.
        order: String = need "order", eg "Training order 12 (invented)";
        /// Its day.
        on: String = need "on" as DAY, eg "2026-09-01";
        /// The law that was looked at before.
        law: Option<String> = may "law", prose, eg "state law on training foam (invented)";
        /// What holds the runoff.
        holding: Option<String> = may "holding", eg "the lined basin of the yard";
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
        /// Whether the label calls it free of fluorine; a word on a label alone is no evidence.
        fluorine_free: bool = need "fluorine-free", eg "yes";
        /// What is known of fluorine in it, by the evidence below.
        // Rule 25: what nobody wrote down permits nothing.
        fluorine: Fluorine = may "fluorine", or "not-known", eg "none-added";
        /// Who read where that none is added.
        evidence: Vec<Evidence> = may "evidence";
        /// Who permits that it is discharged for training.
        permitted: Option<Permitted> = may "training-permitted";
        /// Rates that the product is listed for.
        listings: Vec<Listing> = may "listings";
        /// Lot of what is in stock.
        lot: Option<String> = may "lot", prose, nothing "not known", eg "lot 26-031 (invented)";
        /// Day on which the lot was delivered.
        // Evidence that is older than the lot says nothing about the lot.
        delivered: Option<String> = may "delivered" as DAY, prose, nothing "not known", eg "2026-02-20";
        /// Photo or file of the label.
        label: Option<SeenPaper> = may "label", prose, nothing "not known";
        /// Safety data sheet.
        data_sheet: Option<SeenPaper> = may "data-sheet", prose, nothing "not known";
        /// What the maker says of units that cannot draw so thick a concentrate.
        viscosity: Option<String> = may "viscosity", prose, nothing "none", eg "Not for eductors below 40 F.";
        /// What it may be mixed with.
        // Nothing is mixed unless the maker's own paper says so.
        mixing: Option<String> = may "mixing", prose, nothing "none", eg "with the same product of the same maker";
        /// Whether it is made for training only.
        training: bool = need "training", eg "yes";
        /// What the label warns of, in a sentence.
        label_says: Option<String> = may "label-says", prose, eg "Irritates the eyes.";
    }
}

/// Help of all that a concentrate's file holds.
pub(super) const BOOKS: &[Book] = &[
    Concentrate::BOOK,
    FoamClass::BOOK,
    Allowed::BOOK,
    Container::BOOK,
    Fluorine::BOOK,
    NozzleWay::BOOK,
    Listing::BOOK,
    SeenPaper::BOOK,
    Evidence::BOOK,
    Permitted::BOOK,
];

impl Concentrate {
    /// Whether it may be discharged for training: no fluorine added, by evidence, and permitted
    /// by a named person. What is not written is not permitted.
    pub fn may_be_discharged(&self) -> bool {
        // All three (rule 25): no permission makes up for missing evidence, and no
        // evidence for a missing permission.
        self.fluorine == Fluorine::NoneAdded
            && !self.evidence.is_empty()
            && self.permitted.is_some()
    }

    /// The day since which it may be: the first evidence has been read, and the permission given.
    /// Nothing where a day cannot be read, or where it may not be discharged at all.
    pub fn discharged_since(&self) -> Option<Day> {
        let permitted = Day::read(&self.permitted.as_ref()?.on)?;
        let read = self.evidence.iter().filter_map(|one| Day::read(&one.on)).min()?;
        (self.fluorine == Fluorine::NoneAdded).then_some(permitted.max(read))
    }
}
