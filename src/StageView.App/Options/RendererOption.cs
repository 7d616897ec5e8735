using System.CommandLine;
using StageView.Show;
using StageView.Snapshot.Compare;

namespace StageView.App.Options;

/// <summary><c>--renderer</c>: whether both frames of a pair come from one renderer.</summary>
internal static class RendererOption
{
    public static Option<string?> Build(string also = "") => new("--renderer")
    {
        Description = $"other: tolerances for baselines of another driver or machine{also}. same: those of one (default).", HelpName = "WHICH",
    };

    /// <exception cref="StopException">Another word.</exception>
    public static RendererMatch? Read(string? text) => text switch
    {
        null => null,
        "same" => RendererMatch.Same,
        "other" => RendererMatch.Other,
        _ => throw StopException.Wrong($"--renderer {text} is not known: same or other"),
    };
}
