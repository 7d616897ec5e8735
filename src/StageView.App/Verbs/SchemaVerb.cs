using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.Rig.Scene;

namespace StageView.App.Verbs;

/// <summary><c>stageview schema</c>: the JSON Schema of our own files.</summary>
internal static class SchemaVerb
{
    public static Command Build()
    {
        var kind = new Argument<string>("KIND") { Description = "rig, fixture or venue.", DefaultValueFactory = _ => "rig" };
        kind.AcceptOnlyFromAmong("rig", "fixture", "venue");
        var command = new Command("schema", "Prints the JSON Schema of rig, fixture profile or venue files, for editors and tools.") { kind };
        return command.Does(parse =>
        {
            Console.Write(SchemaFiles.Write(parse.GetValue(kind) + ".schema.json"));
            return Exit.Fine;
        });
    }
}
