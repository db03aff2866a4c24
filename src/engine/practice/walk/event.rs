//! What can happen in a walk's page.

use crate::practice::events::events;

events! {
    /// What can happen in a walk's page.
    Event {
        /// The page was opened, or must be drawn again.
        #[default]
        "show" Show,
        /// A walk on a rig, in a role.
        "begin" Begin {
            /// The rig.
            rig: [String],
            /// The role.
            role: [String],
        },
        /// A step was chosen.
        "act" Act {
            /// Its id.
            step: [String],
        },
        /// A cue is passed over.
        "ignore" Ignore {
            /// Its id.
            cue: [String],
        },
        /// Words for the radio were chosen: those of a step.
        "say" Say {
            /// Its id.
            step: [String],
        },
        /// They were said aloud.
        "aloud" Aloud,
        /// All of it was in what was said.
        "whole" Whole,
        /// Something of it was not.
        "missed" Missed,
        /// The call is made again.
        "call-again" CallAgain,
        /// It is taken as answered.
        "take" Take,
        /// What is typed changed.
        "draft" Draft {
            /// All of it so far.
            text: [String],
        },
        /// The value is final.
        "value" Value {
            /// As typed.
            text: [String],
        },
        /// The value is shown instead.
        "give-up" GiveUp,
        /// What was told is read.
        "on" On,
        /// The drill is reported as done.
        "end" End,
        /// The next walk.
        "another" Another,
        /// Back to the start.
        "leave" Leave,
    }
}
