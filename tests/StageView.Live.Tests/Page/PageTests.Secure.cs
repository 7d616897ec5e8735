using System.Net;
using System.Net.Sockets;
using StageView.Live.Server;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>The page over HTTPS, at every address of the machine.</summary>
public sealed partial class PageTests
{
    [Fact]
    public async Task An_invitation_that_came_by_mail_opens_the_page_over_HTTPS_and_pictures_come()
    {
        using var folder = new TempFolder();
        var host = ServedShow.OtherAddress() ?? IPAddress.Loopback;
        using var certificate = PageCertificate.SelfMade(folder["page.pfx"], [host], TimeProvider.System);

        // IPv4 comes to a listener of both as an address in IPv6.
        await using var served = await ServedShow.Start(new LiveServerOptions
        {
            Address = Socket.OSSupportsIPv6 ? IPAddress.IPv6Any : IPAddress.Any, Certificate = certificate,
        });
        served.Show.Level = 90;
        await using var closing = new Closing(await browser.Page(new Uri("about:blank"), 1440, 900, touch: false, anyCertificate: true));
        var page = closing.Page;
        var link = served.Server.Invite(DoorRole.Look, host.ToString()).Link;
        Assert.Equal("https", link.Scheme);

        // A link on a page of somebody else's, as web mail has it.
        await page.SetContentAsync($"<a href='{link}'>in</a>");
        await page.Locator("a").ClickAsync();
        await Expect(page.Locator("#source")).ToHaveTextAsync("● network");
        await BrightnessBecomes(page, b => b > 60);
        Assert.Equal($"https://{link.Authority}/", page.Url);
        if (!IPAddress.IsLoopback(host))
        {
            await Expect(page.Locator("#record")).ToBeHiddenAsync();
            Assert.True(await page.EvaluateAsync<bool>("isSecureContext && document.cookie === ''"));
        }
    }
}
