using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Files;
using StageView.Ground.Words;
using StageView.Rig.Mvr;
using StageView.Show.Rigs;

namespace StageView.App.Verbs;

/// <summary><c>stageview export RIG --out FILE</c>: a rig as MVR.</summary>
internal static class ExportVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var file = new Option<string>("--out") { Description = "The MVR file to write.", Required = true, HelpName = "FILE" };
        var command = new Command("export",
            "Writes a rig as an MVR file (DIN SPEC 15801): fixtures with patch and placement, scenery as meshes, and says what the format can't hold.") { rig,
            venue, file };
        return command.Does(parse =>
        {
            var opened = RigFiles.Open(parse.GetValue(rig)!, parse.GetValue(venue), tell: Tell.Note);
            using var memory = new MemoryStream();
            var notes = MvrExporter.Export(opened, memory);
            WholeFile.Write(parse.GetValue(file)!, memory.ToArray());
            foreach (var n in notes)
            {
                Console.WriteLine("not in the file: " + n);
            }

            Console.WriteLine(
                $"{parse.GetValue(file)}: {Counted.Of(opened.Fixtures.Count, "fixture")}, {Counted.Of(opened.Scenery.Count, "piece")} of scenery");
            return Exit.Fine;
        });
    }
}
