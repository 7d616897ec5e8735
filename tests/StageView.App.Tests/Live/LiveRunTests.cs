using System.Text;
using StageView.Live.Running;
using StageView.Live.Server;
using StageView.Live.Shown;

namespace StageView.App.Tests.Live;

/// <summary>The command without its words.</summary>
[Collection(LiveMachine.Name)]
public sealed class LiveRunTests
{
    [Fact]
    public async Task A_night_whose_log_can_not_be_written_goes_on_and_the_page_has_the_journal()
    {
        using var copy = new RigCopy("one-mirror");
        using var stop = new CancellationTokenSource();
        using var words = new FullDisk();
        var request = new LiveRequest
        {
            Show = new LiveShowOptions
            {
                RigFile = copy.File,
                Recordings = Path.Combine(copy.Folder, "recordings"),
                Looks = copy.Folder,
                E131Port = FreePort.Udp(),
                ArtNetPort = FreePort.Udp(),
            },
            Server = new LiveServerOptions { Port = 0 },
        };
        var night = Task.Run(() => LiveRun.Run(request, words, stop.Token), TestContext.Current.CancellationToken);
        var address = await words.Address.Task.WaitAsync(TimeSpan.FromMinutes(2), TestContext.Current.CancellationToken);
        using var http = new HttpClient { BaseAddress = address };
        await File.AppendAllTextAsync(copy.File, "\n", TestContext.Current.CancellationToken);
        var journal = "";
        var from = TimeProvider.System.GetTimestamp();
        while (!journal.Contains("read again in", StringComparison.Ordinal) && TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromMinutes(1))
        {
            await Task.Delay(100, TestContext.Current.CancellationToken);
            journal = await http.GetStringAsync(new Uri("/journal.txt", UriKind.Relative), TestContext.Current.CancellationToken);
        }

        Assert.Contains("read again in", journal, StringComparison.Ordinal);
        Assert.True(words.Refused > 1);
        await stop.CancelAsync();
        await night;
    }

    /// <summary>Takes the words of the beginning, no line of the journal.</summary>
    private sealed class FullDisk : TextWriter
    {
        public TaskCompletionSource<Uri> Address { get; } = new();

        public int Refused { get; private set; }

        public override Encoding Encoding => Encoding.UTF8;

        public override void WriteLine(string? value)
        {
            if (value?.Contains("the page is at ", StringComparison.Ordinal) == true)
            {
                Address.TrySetResult(new Uri(value["the page is at ".Length..]));
            }
            else if (value != "end with Ctrl+C")
            {
                Refused++;
                throw new IOException("No space left on device");
            }
        }
    }
}
