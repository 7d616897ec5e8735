using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.Rig.Scene;
using StageView.Stage.Anchors;
using StageView.Stage.Cues;
using StageView.Stage.Survey;

namespace StageView.App.Verbs;

/// <summary><c>stageview schema</c>: the JSON Schema of our own files.</summary>
internal static class SchemaVerb
{
    public static Command Build()
    {
        var kind = new Argument<string>("KIND") { Description = "rig, fixture, venue, look, cues, anchors or marks.", DefaultValueFactory = _ => "rig" };
        kind.AcceptOnlyFromAmong("rig", "fixture", "venue", "look", "cues", "anchors", "marks");
        var command = new Command("schema",
            "Prints the JSON Schema of rig, fixture profile, venue, look, cue, anchors or marks files, for editors and tools.") { kind };
        return command.Does(parse =>
        {
            Console.Write(parse.GetValue(kind) switch
            {
                "look" => CueFile.LookSchema(),
                "cues" => CueFile.Schema(),
                "anchors" => AnchorFile.Schema(),
                "marks" => MarksFile.Schema(),
                var other => SchemaFiles.Write(other + ".schema.json"),
            });
            return Exit.Fine;
        });
    }
}
