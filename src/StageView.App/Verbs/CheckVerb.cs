using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Show;
using StageView.Show.Rigs;

namespace StageView.App.Verbs;

/// <summary><c>stageview check RIG</c>: is the rig file right, and what is in it?</summary>
internal static class CheckVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var json = Verb.JsonOption();
        var command = new Command("check",
            "Reads a rig scene file (or an MVR, GDTF or fixture profile file) and says what is wrong with it, what is in it and, with --venue, what the "
            + "venue changes. Answers no (1) when it can't be used.") { rig, venue, json };
        return command.Does(parse => Run(parse.GetValue(rig)!, parse.GetValue(venue), parse.GetValue(json)));
    }

    private static int Run(string path, string? venue, bool asJson)
    {
        if (!File.Exists(path))
        {
            throw StopException.Wrong($"there is no rig file at {path}");
        }

        var problems = FileCheck.Check(path, venue, out var summary, out var notes);
        if (asJson)
        {
            Answers.WriteJson(new { rig = path, ok = summary is not null, problems, notes, summary });
        }
        else
        {
            foreach (var n in notes)
            {
                Console.WriteLine("not taken over: " + n);
            }

            CheckPrint.Print(problems, summary);
        }

        return summary is null ? Exit.No : Exit.Fine;
    }
}
