using System.CommandLine;
using StageView.App.Ending;
using StageView.Rig.Pieces;
using StageView.Show;
using StageView.Stage.Looks;

namespace StageView.App.Options;

/// <summary>Helpers that every verb shares, so that a verb stays one short file: arguments, one call, print.</summary>
internal static class Verb
{
    /// <summary><c>--json</c>: the answer as one JSON document on standard output instead of text.</summary>
    public static Option<bool> JsonOption() =>
        new("--json") { Description = "Print the answer as JSON." };

    public static Option<double> FreewheelOption() =>
        new("--freewheel") { Description = "How long timecode runs on by itself when none comes.", HelpName = "SECONDS", DefaultValueFactory = _ => 1 };

    /// <exception cref="StopException">Out of range.</exception>
    public static double Freewheel(double seconds) => seconds is >= 0 and <= 60
        ? seconds
        : throw StopException.Wrong(string.Create(System.Globalization.CultureInfo.InvariantCulture, $"--freewheel {seconds}: must be 0 to 60 seconds"));

    public static Option<bool> SeekOption() =>
        new("--seek")
        {
            Description =
                "Find the time by an index beside the capture (made once) instead of reading the capture from its start: soon there in a capture of hours. "
                + "Wheels and heads that turn without end, strobes, and moves that take over 15 s may stand elsewhere than in a run.",
        };

    /// <summary><c>--indirect</c>: whether what matt surfaces throw on each other counts.</summary>
    public static Option<string?> IndirectOption(string description) => new("--indirect") { Description = description, HelpName = "on|off" };

    /// <exception cref="StopException">Neither on nor off.</exception>
    public static bool IsIndirect(string? word, bool otherwise) => word switch
    {
        null => otherwise,
        "on" => true,
        "off" => false,
        _ => throw StopException.Wrong($"--indirect {word} is not known: write on or off"),
    };

    /// <summary><c>--inputs</c>: a rig file by itself opens no device and no address.</summary>
    public static Option<bool> InputsOption() =>
        new("--inputs") { Description = "Opens the live inputs that the rig names as content: devices of this machine and addresses on the network." };

    public static Argument<string> RigArgument() =>
        new("RIG") { Description = "The rig scene file (JSON with comments)." };

    /// <summary><c>--venue</c>: for each verb that reads a rig.</summary>
    public static Option<string?> VenueOption() =>
        new("--venue") { Description = "A venue file laid over the rig.", HelpName = "FILE" };

    /// <summary><c>--preset</c>: for verbs that look at light or measure it.</summary>
    public static Option<string?> PresetOption() =>
        new("--preset") { Description = "One of the rig file's presets: its haze, exposure and first camera.", HelpName = "NAME" };

    /// <summary>The fixtures that an option selects.</summary>
    /// <exception cref="StopException">It selects none; the message names the option.</exception>
    public static IReadOnlyList<Fixture> Fixtures(RigScene rig, string option, string text) => FixtureSelection.TryFind(rig, text, out var found, out var why)
        ? found
        : throw StopException.Wrong($"{option} {text}: {why}");

    /// <exception cref="StopException">Not from <paramref name="least"/> to 65535; the message names the option.</exception>
    public static void CheckPort(int port, string option, int least)
    {
        if (port < least || port > 65535)
        {
            throw StopException.Wrong($"{option} {port} is no port: {least} to 65535");
        }
    }

    /// <summary>Sets the action and turns the errors a user can cause into one line and an exit code.</summary>
    public static Command Does(this Command command, Func<ParseResult, int> run)
    {
        command.SetAction(parse => Edge.Guard(() => run(parse)));
        return command;
    }

    /// <summary>The same for a verb that waits; the token is cancelled by Ctrl+C.</summary>
    public static Command Does(this Command command, Func<ParseResult, CancellationToken, Task<int>> run)
    {
        command.SetAction((parse, stop) => Edge.Guard(() => run(parse, stop)));
        return command;
    }
}
