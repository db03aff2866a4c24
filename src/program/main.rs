//! The `drillwright` command.

fn main() -> std::process::ExitCode {
    drillwright::cli::run()
}
