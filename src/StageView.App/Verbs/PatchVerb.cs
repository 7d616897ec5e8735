using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Paperwork.Patch;
using StageView.Rig.Pieces;
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
        var keep = new Option<string[]>("--own-universe") { Description = "With --suggest: groups that share universes with no others.", AllowMultipleArgumentsPerToken = true, HelpName = "GROUP" };
        var command = new Command("patch", "Says which addresses are used and free, what is doubtful about the patch, and what other modes would save. Answers no (1) when something is doubtful.") { rig, venue, suggest, keep, json };
        return command.Does(parse =>
        {
            var opened = RigFiles.Open(parse.GetValue(rig)!, parse.GetValue(venue), tell: Tell.Note);
            var groups = parse.GetValue(keep) ?? [];
            if (groups.FirstOrDefault(g => !opened.Fixtures.Any(f => f.Groups.Contains(g))) is { } unknown)
            {
                throw StopException.Wrong($"no fixture is in a group named \"{unknown}\"; groups: {string.Join(", ", opened.Fixtures.SelectMany(f => f.Groups).Distinct())}");
            }

            return parse.GetValue(suggest)
                ? Suggest(opened, groups, parse.GetValue(json))
                : Report(PatchInspector.Inspect(opened), parse.GetValue(json));
        });
    }

    private static int Suggest(RigScene rig, string[] groups, bool json)
    {
        var moves = PatchSuggester.Suggest(rig, groups);
        if (json)
        {
            Answers.WriteJson(moves.Select(m => new { m.Fixture, m.Break, now = m.Now?.ToString(), proposed = m.Proposed.ToString() }));
            return Exit.Fine;
        }

        Answers.Table(
            ["fixture", "break", "now", "proposed"],
            moves.Select(m => (string[])[m.Fixture, $"{m.Break}", m.Now?.ToString() ?? "none", m.Proposed.ToString()]));
        Console.WriteLine($"{moves.Count(m => m.Now is not { } now || now != m.Proposed)} of {moves.Count} would change; nothing was written");
        return Exit.Fine;
    }

    private static int Report(PatchReport report, bool json)
    {
        var doubtful = report.Findings.Any(f => f.Kind is not ("gap" or "free"));
        if (json)
        {
            Answers.WriteJson(report);
            return doubtful ? Exit.No : Exit.Fine;
        }

        Answers.Table(
            ["universe", "used", "attributes", "free runs", "fed by", "positions"],
            report.Universes.Select(u => (string[])
            [
                $"{u.Universe}", $"{u.Used}", $"{u.Attributes}", string.Join(" ", u.Free.Select(f => f.From == f.To ? $"{f.From}" : $"{f.From}-{f.To}").DefaultIfEmpty("none")),
                string.Join(", ", u.FedBy.DefaultIfEmpty("-")), string.Join(", ", u.Positions.DefaultIfEmpty("-")),
            ]));
        Console.WriteLine($"{report.Attributes} attributes{(report.ConsoleAttributes is { } c ? $" of the {c} that the console is said to run" : "")}");
        Console.WriteLine();
        if (report.Savings.Count > 0)
        {
            Answers.Table(
                ["type", "mode", "other mode", "fixtures", "addresses saved", "loses"],
                report.Savings.Select(s => (string[])[s.Profile, s.Mode, s.OtherMode, $"{s.Fixtures}", $"{s.AddressesSaved}", string.Join(" ", s.Loses)]));
        }

        foreach (var f in report.Findings)
        {
            Console.WriteLine($"{f.Kind}: {f.Place}: {f.Text}");
        }

        return doubtful ? Exit.No : Exit.Fine;
    }
}
