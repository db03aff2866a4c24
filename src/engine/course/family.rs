//! Families of formulas, and the charts that show them.

use crate::formulas::{ExampleGiven, FigureShown};
use crate::wire::Book;
use crate::{record, words};

record! {
    /// A family of formulas with a page of its own.
    Family {
        /// Short name, as formulas call it.
        id: String = need "family" as own("family"), eg "proportioning";
        /// Name as it is printed.
        title: String = need "title", prose, eg "Proportioning";
        /// What it is about.
        about: String = need "about", prose, eg "How much concentrate a flow takes.";
        /// What a rig of the module must have for the page to be printed, where nothing in the module asks its formulas.
        needs: Option<String> = may "needs" as NAME, prose, eg "eductor";
        /// Cautions of its page.
        cautions: Vec<String> = may "cautions" as refers("caution"), eg "[concentrate-skin]";
        /// Charts.
        charts: Vec<Chart> = may "charts";
    }
}

words! {
    /// For what a chart is drawn.
    Each {
        /// Once, with the values that are written.
        "once" Once,
        /// For every rig that has the figures, with its first foam line.
        "rig" Rig,
    }
}

record! {
    /// A chart: curves of formulas along one given.
    Chart {
        /// Short name.
        id: String = need "chart" as own("chart"), eg "loss-by-flow";
        /// Name as it is printed.
        title: String = need "title", prose, eg "Loss by flow";
        /// What it tells.
        about: String = need "about", prose, eg "The loss grows with the square of the flow.";
        /// For what it is drawn.
        each: Each = may "each", or "once", eg "rig";
        /// The given along which it runs.
        across: Axis = need "across";
        /// What the curves tell.
        up: Axis = need "up";
        /// Curves, each with a letter; at most four.
        curves: Vec<Curve> = need "curves";
        /// Whether the foam lines of the rig are marked at their flows.
        lines: bool = may "lines", or "no", eg "yes";
    }
}

record! {
    /// One axis.
    Axis {
        /// What it measures.
        label: String = need "label", prose, eg "solution flow";
        /// Unit; in a metric module that of si, where it stands.
        unit: String = need "unit" as UNIT, eg "gpm";
        /// Unit in metric modules.
        unit_si: String = may "unit-si" as UNIT, like "unit", eg "L/min";
        /// Where it begins; 0 when nothing is said.
        from: Option<FigureShown> = may "from", eg "10 gpm";
        /// Where it ends; above the highest value when nothing is said.
        to: Option<FigureShown> = may "to", eg "{value: 250 gpm, si: 950 L/min}";
    }
}

record! {
    /// One curve.
    Curve {
        /// What it tells.
        label: String = need "curve", prose, eg "at 0.5 %";
        /// Formula.
        formula: String = need "formula" as refers("formula"), eg "concentrate-flow";
        /// Answer; the principal one when nothing is said.
        answer: Option<String> = may "answer" as NAME, eg "foam";
        /// The given that runs along the axis.
        along: String = need "along" as NAME, eg "flow";
        /// The other givens.
        with: Vec<(String, ExampleGiven)> = may "with", eg "{percent: 0.5 %}";
    }
}

/// Help of families and their charts.
pub(super) const BOOKS: &[Book] =
    &[Family::BOOK, Chart::BOOK, Each::BOOK, Axis::BOOK, Curve::BOOK];
