using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
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
            Description = "Names of new frames, * and ? allowed.", Arity = ArgumentArity.ZeroOrMore,
        };
        var remove = new Option<string[]>("--remove")
        {
            Description = "Take out frames that only BASE has, * and ? allowed; may be given several times. Nothing else is removed.", HelpName = "FRAME",
        };
        var by = new Option<string?>("--by") { Description = "Who takes them; the account's name without it.", HelpName = "NAME" };
        var why = new Option<string>("--why")
        {
            Description = "Why, in your words; kept in the frame's record.", HelpName = "TEXT", DefaultValueFactory = _ => "",
        };
        var other = new Option<bool>("--other-renderer") { Description = "Take frames drawn by another renderer or driver than the baseline's." };
        var command = new Command("accept",
            "Takes the frames named as the new baseline and records who did, and of which rig and capture they are.") { before, after, names, remove,
            by, why, other };
        return command.Does(parse =>
        {
            var set = FrameSet.Open(parse.GetValue(after)!);
            var folder = parse.GetValue(before)!;
            var (asked, gone) = (parse.GetValue(names) ?? [], parse.GetValue(remove) ?? []);
            if (asked.Length + gone.Length == 0)
            {
                throw StopException.Wrong("name frames to take, or --remove and frames to take out; '*' stands for all of NEW");
            }

            if (set.Lacks is { } lacks)
            {
                Tell.Note($"{lacks}: what it lacks stays as it is");
            }

            var lines = new Acceptance(TimeProvider.System).Take(new AcceptRequest
            {
                New = set,
                BaseFolder = folder,
                Frames = Fit(asked, set.Frames.Keys, $"{set.Folder} has no frame named"),
                Remove = gone.Length == 0 ? []
                    : Fit(gone, Acceptance.OnlyIn(folder, set), $"{folder} has no frame that {set.Folder} lacks, named"),
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

    private static List<string> Fit(string[] patterns, IEnumerable<string> known, string none)
    {
        var all = known.ToList();
        return [.. patterns.SelectMany(p => all.Where(n => System.IO.Enumeration.FileSystemName.MatchesSimpleExpression(p, n, ignoreCase: false)).ToList()
            is { Count: > 0 } fit ? fit : throw StopException.Wrong($"{none} {p}")).Distinct().Order(StringComparer.Ordinal)];
    }
}
