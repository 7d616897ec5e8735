using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Paperwork.Patch;
using StageView.Show;
using StageView.Show.Rigs;

namespace StageView.App.Verbs;

/// <summary><c>stageview patch RIG</c>: who has which addresses, what is doubtful, and a better patch.</summary>
internal static class PatchVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var json = Verb.JsonOption();
        var suggest = new Option<bool>("--suggest") { Description = "Propose a patch without gaps, position by position." };
        var keep = new Option<string[]>("--own-universe")
        {
            Description = "With --suggest: groups that share universes with no others.", AllowMultipleArgumentsPerToken = true, HelpName = "GROUP",
        };
        var command = new Command("patch",
            "Says which addresses are used and free, what is doubtful about the patch, and what other modes would save. Answers no (1) when something is "
            + "doubtful.") { rig, venue, suggest, keep, json };
        return command.Does(parse =>
        {
            var opened = RigFiles.Open(parse.GetValue(rig)!, parse.GetValue(venue), tell: Tell.Note);
            var groups = parse.GetValue(keep) ?? [];
            if (groups.FirstOrDefault(g => !opened.Fixtures.Any(f => f.Groups.Contains(g))) is { } unknown)
            {
                throw StopException.Wrong(
                    $"no fixture is in a group named \"{unknown}\"; groups: {string.Join(", ", opened.Fixtures.SelectMany(f => f.Groups).Distinct())}");
            }

            if (parse.GetValue(suggest))
            {
                PatchPrint.Print(PatchSuggester.Suggest(opened, groups), parse.GetValue(json));
                return Exit.Fine;
            }

            var report = PatchInspector.Inspect(opened);
            PatchPrint.Print(report, parse.GetValue(json));
            return report.Findings.Any(f => f.Kind is not ("gap" or "free")) ? Exit.No : Exit.Fine;
        });
    }
}
