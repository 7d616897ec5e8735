using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Words;
using StageView.Rig.Checks;
using StageView.Rig.Mvr;
using StageView.Show;
using StageView.Show.Rigs;

namespace StageView.App.Verbs;

/// <summary><c>stageview import FILE --out DIR</c>: an MVR file becomes a scene file folder.</summary>
internal static class ImportVerb
{
    public static Command Build()
    {
        var file = new Argument<string>("FILE") { Description = "An MVR file (DIN SPEC 15801)." };
        var folder = new Option<string>("--out") { Description = "A new or empty folder; nothing is written outside it.", Required = true, HelpName = "DIR" };
        var json = Verb.JsonOption();
        var command = new Command("import",
            "Turns an MVR file into a folder with a rig scene file, its GDTF files and models, and says what it could not take over.") { file, folder, json };
        return command.Does(parse => Run(parse.GetValue(file)!, parse.GetValue(folder)!, parse.GetValue(json)));
    }

    private static int Run(string file, string folder, bool json)
    {
        if (!MvrImporter.TryImport(file, folder, out var report, out var problem))
        {
            throw StopException.Wrong(problem!.ToString());
        }

        var problems = RigChecker.Check(report.RigFile, RigFiles.Options, out var summary);
        if (json)
        {
            Answers.WriteJson(new { report, ok = summary is not null, problems });
            return summary is null ? Exit.No : Exit.Fine;
        }

        Console.WriteLine(
            $"{report.RigFile}: {Counted.Of(report.Fixtures, "fixture")}, {Counted.Of(report.Pieces, "piece")} of scenery, "
            + $"{Counted.Of(report.FocusPoints, "focus point")}, {Counted.Of(report.Written.Count, "file")}");
        foreach (var n in report.Notes)
        {
            Console.WriteLine("not taken over: " + n);
        }

        foreach (var p in problems)
        {
            Console.WriteLine(p);
        }

        return summary is null ? Exit.No : Exit.Fine;
    }
}
