using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;

namespace StageView.App.Verbs;

/// <summary><c>stageview bounces RIG</c>: where beams go, over mirrors, and where they land.</summary>
internal static class BouncesVerb
{
    public static Command Build()
    {
        var light = new LightQuestion();
        var fixtures = new Option<string?>("--fixture") { Description = "Only these fixtures: names, numbers, groups or ranges.", HelpName = "FIXTURES" };
        var reflected = new Option<bool>("--reflected") { Description = "Only light that met a mirror." };
        var picture = new Option<string?>("--svg") { Description = "Draw the paths in plan and section to this SVG file.", HelpName = "FILE" };
        var command = light.Command("bounces", "Follows each beam over the mirrors: landing, throw, spot, footprint, illuminance, what each mirror cuts off.");
        command.Add(fixtures);
        command.Add(reflected);
        command.Add(picture);
        return command.Does(parse =>
        {
            var rig = light.Rig(parse);
            using var source = light.Source(parse, rig);
            var answer = BouncesAnswer.Of(rig, light.Moment(parse, source), parse.GetValue(fixtures), parse.GetValue(reflected));
            if (parse.GetValue(picture) is { } file)
            {
                answer.Draw(file);
            }

            answer.Print(parse.GetValue(light.Json));
            return Exit.Fine;
        });
    }
}
