using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Light.Cautions;
using StageView.Light.Cautions.Lasers;
using StageView.Show;
using StageView.Show.Questions;

namespace StageView.App.Verbs;

/// <summary><c>stageview cautions RIG</c>: what shines where people may be?</summary>
internal static class CautionsVerb
{
    public static Command Build()
    {
        var light = new LightOptions();
        var lux = new Option<float>("--least")
        {
            Description = "Beams below this are not listed, lx on a plane that faces them.", HelpName = "LUX", DefaultValueFactory = _ => 1000,
        };
        var exposure = new Option<double>("--exposure")
        {
            Description = "Exposure time for the lasers' limit, seconds.", HelpName = "SECONDS", DefaultValueFactory = _ => LaserHazard.AversionSeconds,
        };
        var near = new Option<float>("--separation")
        {
            Description = "Laser rays closer to a volume than this are listed, metres. Codes differ; use yours.",
            HelpName = "METRES",
            DefaultValueFactory = _ => 3,
        };
        var step = new Option<double>("--every")
        {
            Description = "With --capture and no --at: look at the whole capture, once in so many seconds.",
            HelpName = "SECONDS",
            DefaultValueFactory = _ => 0.5,
        };
        var flashes = new Option<float>("--flashes")
        {
            Description = "Strobe rates above this are listed, flashes a second. Codes differ; use yours.", HelpName = "RATE", DefaultValueFactory = _ => 4,
        };
        var command = light.Command("cautions",
            "Lists beams, bounces and lasers that enter the audience and crew volumes of the rig file, and fast strobes. Reasons to look; never a verdict "
            + "that something is safe.");
        foreach (var option in (Option[])[lux, exposure, near, step, flashes])
        {
            command.Add(option);
        }

        return command.Does(parse =>
        {
            using var question = light.Open(parse);
            var settings = new CautionSettings
            {
                LeastLux = parse.GetValue(lux), ExposureSeconds = parse.GetValue(exposure), LaserSeparation = parse.GetValue(near),
            };
            if (!(settings.ExposureSeconds is > 2e-5 and <= 10) || !(settings.LeastLux >= 0) || !(settings.LaserSeparation is >= 0 and < 1000)
                || !(parse.GetValue(step) >= 0.02) || !(parse.GetValue(flashes) >= 0))
            {
                throw StopException.Wrong("--exposure takes 0.00002 to 10 seconds (where the formula holds), --every 0.02 or more, the others 0 or more");
            }

            var search = new CautionsQuestion(question.Rig, settings, parse.GetValue(flashes));
            foreach (var time in question.Times(parse.GetValue(step)))
            {
                question.Source.FeedTo(time);
                search.Look(question.Source.Stage, time, light.Bounces(parse));
            }

            var answer = search.Answer();
            CautionsPrint.Print(question.Rig, answer, parse.GetValue(light.Json));
            return answer.Any ? Exit.No : Exit.Fine;
        });
    }
}
