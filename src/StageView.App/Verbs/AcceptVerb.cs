using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.Show;
using StageView.Snapshot.Baselines;
using StageView.Snapshot.Frames;

namespace StageView.App.Verbs;

/// <summary><c>stageview accept BASE NEW FRAME…</c>: new frames become the baseline, by name.</summary>
internal static class AcceptVerb
{
    public static Command Build()
    {
        var before = new Argument<string>("BASE") { Description = "Folder of the baselines; made when it is not there." };
        var after = new Argument<string>("NEW") { Description = "Folder of the new frames." };
        var names = new Argument<string[]>("FRAME")
        {
            Description = "Names of frames, * and ? allowed. A frame that only BASE has is removed.", Arity = ArgumentArity.OneOrMore,
        };
        var by = new Option<string?>("--by") { Description = "Who takes them; the account's name without it.", HelpName = "NAME" };
        var why = new Option<string>("--why")
        {
            Description = "Why, in your words; kept in the frame's record.", HelpName = "TEXT", DefaultValueFactory = _ => "",
        };
        var other = new Option<bool>("--other-renderer") { Description = "Take frames drawn by another renderer or driver than the baseline's." };
        var command = new Command("accept",
            "Takes the frames named as the new baseline and records who did, and of which rig and capture they are.") { before, after, names, by, why, other };
        return command.Does(parse =>
        {
            var set = FrameSet.Open(parse.GetValue(after)!);
            var folder = parse.GetValue(before)!;
            var known = Directory.Exists(folder) ? FrameSet.Open(folder).Frames.Keys.Union(set.Frames.Keys).ToList() : [.. set.Frames.Keys];
            var lines = new Acceptance(TimeProvider.System).Take(new AcceptRequest
            {
                New = set,
                BaseFolder = folder,
                Frames = [.. (parse.GetValue(names) ?? []).SelectMany(n => Fit(n, known)).Distinct().Order(StringComparer.Ordinal)],
                By = parse.GetValue(by) ?? Environment.UserName,
                Why = parse.GetValue(why)!,
                OtherRenderer = parse.GetValue(other),
            });
            foreach (var line in lines)
            {
                Console.WriteLine(line);
            }

            return Exit.Fine;
        });
    }

    private static List<string> Fit(string pattern, List<string> known)
    {
        var fit = known.Where(n => System.IO.Enumeration.FileSystemName.MatchesSimpleExpression(pattern, n, ignoreCase: false)).ToList();
        return fit.Count > 0 ? fit : throw StopException.Wrong($"no frame is named {pattern}");
    }
}
