package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.util.List;
import java.util.Locale;

/** The way in. */
public final class Main {

  /** Every command, in the order of the job. Only the one that is named gets built. */
  static final List<Command> COMMANDS =
      List.of(
          new Command(
              "sampling",
              "Say what a survey will be able to see, before it is taken.",
              SamplingCommand::new),
          new Command(
              "probe-offsets",
              "Say what each probe reads too high, from all of them at one place.",
              ProbeOffsetsCommand::new),
          new Command(
              "seat", "Help to bring the array's centre to the magnetic centre.", SeatCommand::new),
          new Command(
              "take",
              "Take a survey live: angle by angle, kept at once, vetted while it grows.",
              TakeCommand::new),
          new Command(
              "record",
              "Record probes against time: drift, alarms, rate in a ramp, kept at once.",
              RecordCommand::new),
          new Command(
              "assess",
              "Say what a survey shows: trust, field, homogeneity, verdicts.",
              AssessCommand::new),
          new Command(
              "shim",
              "Plan what to load: iron pieces by tray and pocket, beside a bound.",
              ShimCommand::new),
          new Command(
              "coil",
              "Say what an ampere in a shim coil does, from surveys with it on and off.",
              CoilCommand::new),
          new Command(
              "loaded",
              "Keep a record of what was really loaded, and bring what is installed up to date.",
              LoadedCommand::new),
          new Command(
              "compare",
              "Say what changed between two surveys, and whether a round did what it should.",
              CompareCommand::new),
          new Command(
              "outside-iron",
              "Say whether iron outside disturbs the field: how much, and where.",
              OutsideIronCommand::new),
          new Command(
              "watch",
              "Say what a field log shows: drift, settling, what happened, verdicts.",
              WatchCommand::new),
          new Command(
              "life",
              "Say how a magnet changed over the years, visit by visit and year by year.",
              LifeCommand::new),
          new Command("report", "Print a visit as a PDF that can be signed.", ReportCommand::new),
          new Command(
              "evidence",
              "Put everything a verdict rests on into one signed file.",
              EvidenceCommand::new),
          new Command(
              "verify",
              "Check a signed file of evidence, and recompute every number in it.",
              VerifyCommand::new),
          new Command("signing-key", "Make a pair of keys to sign with.", SigningKeyCommand::new),
          new Command(
              "simulate",
              "Write the surveys, logs and truth of a virtual magnet.",
              SimulateCommand::new),
          new Command(
              "reader",
              "Be a reader of probes in a virtual magnet, to practise and to test with.",
              ReaderCommand::new),
          new Command(
              "serve", "Answer programs and pages on this machine over HTTP.", ServeCommand::new),
          new Command(
              "account",
              "Say who of a team may sign in at a server, and what each may do.",
              AccountCommand::new),
          new Command("demo", "Do the whole job once, on a virtual magnet.", DemoCommand::new));

  private Main() {}

  public static void main(String[] args) {
    Locale.setDefault(Locale.ROOT); // a decimal comma in the answer would depend on the machine
    Output output = Output.standard();
    int status = run(output, args);
    if (output.failed()) {
      output.note("fieldwright: the answer could not be written to standard output");
      status = ExitStatus.FAULT;
    }
    System.exit(status);
  }

  /** Runs one command line in this process and answers its {@link ExitStatus}. */
  public static int run(Output output, String... args) {
    Path traces = Path.of(System.getProperty("java.io.tmpdir"));
    return new CommandRunner(COMMANDS, output, traces).run(List.of(args));
  }
}
