//! What a shell and a manual reader are told of the program.

use crate::program::{ends_with, program};

const COMMANDS: [&str; 15] = [
    "compile",
    "open",
    "inspect",
    "papers",
    "mark",
    "sheets",
    "score",
    "revise",
    "compare",
    "work",
    "why",
    "schema",
    "words",
    "completions",
    "manual",
];

#[expect(clippy::unwrap_used, reason = "a program that cannot be asked ends the test")]
fn told(arguments: &[&str]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let output = ends_with(0, program(folder.path()).args(arguments));
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn every_shell_completes_every_command() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let text = told(&["completions", shell]);
        for command in COMMANDS {
            assert!(text.contains(command), "{shell}: {command}");
        }
        assert!(text.contains("out") && text.contains("content"), "{shell}: options");
    }
    let folder = tempfile::tempdir().unwrap();
    ends_with(2, program(folder.path()).args(["completions", "abacus"]));
}

/// Of every command: what it does, its options and its examples.
#[test]
fn the_manual_page_has_every_command_with_its_examples() {
    let text = told(&["manual"]);
    for command in COMMANDS {
        assert!(text.contains(&format!("drillwright {command}")), "{command}");
    }
    assert_eq!(text, told(&["manual"]), "the same bytes");
    assert!(text.contains("the officer in charge decide"));
}
