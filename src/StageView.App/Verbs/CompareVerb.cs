using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Show;
using StageView.Show.Snap;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Sets;

namespace StageView.App.Verbs;

/// <summary><c>stageview compare BASE NEW</c>: did the show change, and why?</summary>
internal static class CompareVerb
{
    public static Command Build()
    {
        var before = new Argument<string>("BASE") { Description = "Folder of the frames that are right. With --merge: a folder with a shard's report." };
        var after = new Argument<string[]>("NEW")
        {
            Description = "Folder of the new frames. With --merge: the other shards' report folders.", Arity = ArgumentArity.ZeroOrMore,
        };
        var report = new Option<string?>("--report")
        {
            Description = "Folder for report.html, junit.xml and report.json; a stopped run goes on from what lies there.", HelpName = "DIR",
        };
        var only = new Option<string[]>("--only")
        {
            Description = "Frames whose name fits this pattern (* and ?); may be given several times.", HelpName = "PATTERN",
        };
        var shard = ShardOption.Build();
        var part = new Option<bool>("--part") { Description = "NEW is one machine's part (snap --shard): frames that only BASE has are told at --merge." };
        var merge = new Option<bool>("--merge") { Description = "Put the reports of several shards together instead of comparing." };
        var allowAdded = new Option<bool>("--added-is-fine") { Description = "Frames that only the new set has don't make the answer no." };
        var fresh = new Option<bool>("--afresh") { Description = "Answer every frame anew, whatever a stopped run left." };
        var title = new Option<string>("--title")
        {
            Description = "Headline of the report.", HelpName = "TEXT", DefaultValueFactory = _ => "Did the show change?",
        };
        var json = Verb.JsonOption();
        var command = new Command("compare",
            "Compares two folders of frames and says what changed and why. Exit code 0: same, 1: different, 2: could not be answered.")
        {
            before, after, report, only, shard, part, merge, allowAdded, fresh, title, json,
        };
        var tolerance = new AskedTolerance();
        tolerance.AddTo(command);
        return command.Does((parse, stop) =>
        {
            var asJson = parse.GetValue(json);
            var run = new CompareRun(parse.GetValue(report), parse.GetValue(title)!, parse.GetValue(allowAdded));
            var news = parse.GetValue(after) ?? [];
            if (parse.GetValue(merge))
            {
                return Task.FromResult(Say(run.Merge([parse.GetValue(before)!, .. news]), asJson));
            }

            if (news.Length != 1)
            {
                throw StopException.Wrong("compare takes two folders: BASE and NEW");
            }

            var (n, of) = ShardOption.Read(parse.GetValue(shard));
            var patterns = parse.GetValue(only) ?? [];
            var request = new SetRequest
            {
                Base = FrameSet.Open(parse.GetValue(before)!),
                New = FrameSet.Open(news[0]),
                Asked = tolerance.Read(parse),
                WorkFolder = parse.GetValue(report),
                Only = patterns.Length == 0 ? null : name => patterns.Any(p => System.IO.Enumeration.FileSystemName.MatchesSimpleExpression(p, name)),
                Shard = n,
                Shards = of,
                Part = parse.GetValue(part),
                Resume = !parse.GetValue(fresh),
            };
            return Task.FromResult(Say(run.Compare(request, asJson ? null : ComparePrint.Progress, stop), asJson));
        });
    }

    private static int Say(CompareAnswer answer, bool asJson)
    {
        ComparePrint.Print(answer, asJson);
        foreach (var doubt in answer.Result.Doubts)
        {
            Tell.Note(doubt);
        }

        return answer.Verdict switch
        {
            CompareVerdict.Same => Exit.Fine,
            CompareVerdict.Different => Exit.No,
            // No frames at all is no answer: in CI that is a broken run, not a pass.
            CompareVerdict.Nothing =>
                throw StopException.Wrong($"there is no frame to compare, neither in {answer.Result.BaseFolder} nor in {answer.Result.NewFolder}"),
            _ => Exit.WrongQuestion,
        };
    }
}
