using System.Net;
using System.Text.RegularExpressions;

namespace StageView.App.Tests.Verbs;

public sealed class LinecheckVerbTests
{
    [Fact]
    public async Task The_page_drives_a_live_line_check_and_those_that_did_not_light_are_listed()
    {
        var stop = TestContext.Current.CancellationToken;
        using var run = CommandRun.Start("linecheck", Repo.Foundry, "--only", "heads", "--send", "--port", "0");
        try
        {
            string? line;
            Match link;
            do
            {
                line = await run.StandardError.ReadLineAsync(stop);
                link = Regex.Match(line ?? "", @"^page: (http://127\.0\.0\.1:\d+/[0-9a-f]{32}/)$");
            }
            while (line is not null && !link.Success);
            Assert.True(link.Success);
            var at = new Uri(link.Groups[1].Value);
            using var http = new HttpClient { Timeout = TimeSpan.FromMinutes(2) };
            Assert.Contains("ladder head 1", await http.GetStringAsync(at, stop), StringComparison.Ordinal);
            async Task<(HttpStatusCode, string)> Post(string what)
            {
                using var reply = await http.PostAsync(new Uri(at, what), null, stop);
                return (reply.StatusCode, await reply.Content.ReadAsStringAsync(stop));
            }

            Assert.Contains("{\"at\":1,\"marks\":[\"noAnswer\",\"open\"", (await Post("mark?step=0&mark=noAnswer")).Item2, StringComparison.Ordinal);
            for (var i = 1; i < 24; i++)
            {
                await Post($"mark?step={i}&mark=answered");
            }

            Assert.Equal(HttpStatusCode.BadRequest, (await Post("mark?step=24&mark=answered")).Item1);
            Assert.Equal(HttpStatusCode.BadRequest, (await Post("mark?step=1&mark=perhaps")).Item1);
            Assert.Equal(HttpStatusCode.NotFound, (await Post("/state")).Item1);
            using (var asked = await http.GetAsync(new Uri(at, "end"), stop))
            {
                Assert.Equal(HttpStatusCode.MethodNotAllowed, asked.StatusCode);
            }

            Assert.Equal(HttpStatusCode.OK, (await Post("end")).Item1);
            var said = await run.StandardOutput.ReadToEndAsync(stop);
            await run.WaitForExitAsync(stop);
            Assert.Equal(1, run.ExitCode);
            Assert.Contains("23 of 24 fixtures lit", said, StringComparison.Ordinal);
            Assert.Contains("! did not light: 101 ladder head 1, ladder left 1, 1.1", said, StringComparison.Ordinal);
        }
        finally
        {
            if (!run.HasExited)
            {
                run.Kill();
            }
        }
    }

    [Theory]
    [InlineData("--to", "10.0.0.30", "--to names where --send sends to")]
    [InlineData("--send", "--out=x.pcapng", "--send sends")]
    [InlineData("--level", "0", "--level takes a share")]
    [InlineData("--hold", "soon", "--hold soon: not a length of time")]
    public void What_cant_be_asked_is_told(string option, string value, string said)
    {
        var run = CommandRun.Of("linecheck", Repo.Foundry, option, value);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(said, run.Errors, StringComparison.Ordinal);
        run.AssertPlainWords();
    }

    [Fact]
    public void Nothing_is_sent_elsewhere_without_consent()
    {
        var run = CommandRun.Of("linecheck", Repo.Foundry, "--send", "--to", "192.0.2.1");
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("nothing was sent", run.Errors, StringComparison.Ordinal);
    }
}
