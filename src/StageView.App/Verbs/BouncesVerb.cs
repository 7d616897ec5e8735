using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Show.Questions;

namespace StageView.App.Verbs;

/// <summary><c>stageview bounces RIG</c>: where beams go, over mirrors, and where they land.</summary>
internal static class BouncesVerb
{
    public static Command Build()
    {
        var light = new LightOptions();
        var fixtures = new Option<string?>("--fixture") { Description = "Only these fixtures: names, numbers, groups or ranges.", HelpName = "FIXTURES" };
        var reflected = new Option<bool>("--reflected") { Description = "Only light that met a mirror." };
        var picture = new Option<string?>("--svg") { Description = "Draw the paths in plan and section to this SVG file.", HelpName = "FILE" };
        var command = light.Command("bounces", "Follows each beam over the mirrors: landing, throw, spot, footprint, illuminance, what each mirror cuts off.");
        command.Add(fixtures);
        command.Add(reflected);
        command.Add(picture);
        return command.Does(parse =>
        {
            using var question = light.Open(parse);
            var moment = question.Moment(Tell.Note);
            var wanted = parse.GetValue(fixtures) is { } text
                ? Verb.Fixtures(question.Rig, "--fixture", text).Select(f => f.Index).ToHashSet() : null;
            var answer = BouncesQuestion.Answer(moment, wanted, parse.GetValue(reflected));
            if (parse.GetValue(picture) is { } file)
            {
                BouncesPrint.Draw(question.Rig, answer, file);
            }

            BouncesPrint.Print(question.Rig, answer, parse.GetValue(light.Json));
            return question.Doubtful ? Exit.WrongQuestion : Exit.Fine;
        });
    }
}
