using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.App.Verbs;

/// <summary><c>stageview explain RIG WHAT</c>: from the source that won over raw bytes and physical values to what the beam does.</summary>
internal static class ExplainVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var what = new Argument<string>("WHAT") { Description = "A universe.address such as 12.101, or a fixture's name or number." };
        var capture = new Option<string?>("--capture") { Description = "A capture file with the console's sACN and Art-Net.", HelpName = "FILE" };
        var seek = Verb.SeekOption();
        var look = new Option<string?>("--look") { Description = "A look file instead of a capture.", HelpName = "FILE" };
        var at = new Option<string?>("--at") { Description = "When: " + ShowTime.Help + ". Without it: the end.", HelpName = "TIME" };
        var inputs = Verb.InputsOption();
        var json = Verb.JsonOption();
        var command = new Command("explain", "Says what a fixture or an address does at a time, and why.")
        {
            rig, what, venue, capture, seek, look, at, inputs, json,
        };
        return command.Does(parse =>
        {
            var scene = RigFiles.Open(parse.GetValue(rig)!, parse.GetValue(venue), tell: Tell.Note);
            var asked = ExplainAsked.Read(scene, parse.GetValue(what)!);
            var file = parse.GetValue(capture);
            using var source = SourceChoice.Open(scene, file, null, parse.GetValue(look), parse.GetValue(seek), parse.GetValue(inputs));
            var time = source.Times(parse.GetValue(at) is { } t ? [t] : [])[0].Time;
            var answer = ExplainQuestion.Answer(source, time, asked);
            if (parse.GetValue(json))
            {
                Answers.WriteJson(ExplainPrint.Plain(answer));
                return Tell.Doubts(source) ? Exit.WrongQuestion : Exit.Fine;
            }

            ExplainPrint.Print(answer, file is not null, scene.File);
            return Tell.Doubts(source) ? Exit.WrongQuestion : answer.State is null ? Exit.No : Exit.Fine;
        });
    }
}
