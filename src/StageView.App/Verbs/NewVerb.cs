using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.Ground.Files;
using StageView.Rig.Scene;
using StageView.Show;

namespace StageView.App.Verbs;

/// <summary><c>stageview new DIR</c>: a small rig to start from.</summary>
internal static class NewVerb
{
    public static Command Build()
    {
        var folder = new Argument<string>("DIR") { Description = "A new or empty folder." };
        var command = new Command("new", "Writes a small commented rig, a fixture profile and a venue file to start from.") { folder };
        return command.Does(parse =>
        {
            var at = parse.GetValue(folder)!;
            if (Directory.Exists(at) && Directory.EnumerateFileSystemEntries(at).Any())
            {
                throw StopException.Wrong($"{at} is not empty: name a new folder, so that nothing of yours is written over");
            }

            foreach (var (name, text) in StarterRig.Files)
            {
                var path = Slashes.Join(at, name);
                Directory.CreateDirectory(Path.GetDirectoryName(path)!);
                WholeFile.WriteText(path, text);
                Console.WriteLine(path);
            }

            Console.WriteLine($"next: stageview check {Slashes.Join(at, "show.rig.jsonc")}");
            return Exit.Fine;
        });
    }
}
